//! A client that sends what it is told to, and nothing else.

use std::{
    io::{self, Read, Write},
    net::{Ipv4Addr, TcpStream},
    sync::Arc,
    time::Duration,
};

use rustls::{ClientConnection, StreamOwned, pki_types::ServerName};

use crate::program::{PHRASE, Server};

/// What came back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    fn read(bytes: &[u8]) -> Self {
        let text = String::from_utf8_lossy(bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Self { status, head: head.to_owned(), body: body.to_owned() }
    }

    /// The values of a header.
    pub(crate) fn all(&self, name: &str) -> Vec<&str> {
        let pairs = self.head.lines().skip(1).filter_map(|line| line.split_once(": "));
        pairs.filter(|(it, _)| it.eq_ignore_ascii_case(name)).map(|(_, value)| value).collect()
    }

    /// The one value of a header.
    #[track_caller]
    pub(crate) fn header(&self, name: &str) -> &str {
        let all = self.all(name);
        assert_eq!(all.len(), 1, "{name}: {}", self.head);
        all[0]
    }

    #[track_caller]
    pub(crate) fn is(self, status: u16) -> Self {
        assert_eq!(self.status, status, "{}\n{}", self.head, self.body);
        self
    }

    /// The token of the forms on this page.
    #[track_caller]
    pub(crate) fn token(&self) -> String {
        let rest =
            self.body.split_once("name=\"form-token\" value=\"").expect("a form with a token").1;
        rest.split('"').next().unwrap().to_owned()
    }
}

/// An open connection.
pub(crate) trait Line: Read + Write + Send {}
impl<T: Read + Write + Send> Line for T {}

impl Server {
    /// The bare connection.
    pub(crate) fn wire(&self) -> TcpStream {
        let wire = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        wire.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        wire
    }

    /// A connection, encrypted where the server is.
    pub(crate) fn line(&self) -> Box<dyn Line> {
        self.encrypt(self.wire())
    }

    fn encrypt(&self, wire: TcpStream) -> Box<dyn Line> {
        let Some(trust) = &self.trust else { return Box::new(wire) };
        let name = ServerName::from(std::net::IpAddr::V4(Ipv4Addr::LOCALHOST));
        let client = ClientConnection::new(Arc::clone(trust), name).unwrap();
        Box::new(StreamOwned::new(client, wire))
    }

    /// Sends bytes and reads until the other end hangs up.
    pub(crate) fn send(&self, bytes: &[u8]) -> Answer {
        let mut line = self.line();
        // Who is refused early may be hung up on before all is sent.
        let _ = line.write_all(bytes);
        let _ = line.flush();
        Answer::read(&to_end(line.as_mut()).unwrap_or_default())
    }

    /// How the server is called in `Host`.
    pub(crate) fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// What `Origin` says on its own pages.
    pub(crate) fn origin(&self) -> String {
        let scheme = if self.trust.is_some() { "https" } else { "http" };
        format!("{scheme}://{}", self.host())
    }

    /// Asks for a page.
    pub(crate) fn get(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        self.ask("GET", path, headers, "")
    }

    /// Sends a form as a page of ours does.
    pub(crate) fn post(&self, path: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        self.ask("POST", path, headers, body)
    }

    fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        let given = |name: &str| headers.iter().any(|(it, _)| it.eq_ignore_ascii_case(name));
        let mut text = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        let mut line = |name: &str, value: &str| text.push_str(&format!("{name}: {value}\r\n"));
        if !given("host") {
            line("Host", &self.host());
        }
        if method == "POST" {
            if !given("content-type") {
                line("Content-Type", "application/x-www-form-urlencoded");
            }
            line("Content-Length", &body.len().to_string());
        }
        for (name, value) in headers {
            line(name, value);
        }
        self.send(format!("{text}\r\n{body}").as_bytes())
    }

    /// Tries to come in with a passphrase.
    pub(crate) fn try_phrase(&self, name: &str, phrase: &str) -> Answer {
        let form = format!("name={}&phrase={}", name.replace(' ', "+"), phrase.replace(' ', "+"));
        self.post("/enter", &[("Origin", &self.origin())], &form)
    }

    /// Tries to come in with a code.
    pub(crate) fn try_code(&self, code: &str) -> Answer {
        self.post("/enter", &[("Origin", &self.origin())], &format!("code={code}"))
    }

    /// Comes in with the passphrase of these tests.
    #[track_caller]
    pub(crate) fn come_in(&self, name: &str) -> Inside {
        Inside::of(&self.try_phrase(name, PHRASE).is(303))
    }
}

/// What a browser holds of somebody who has come in.
#[derive(Clone, Debug)]
pub(crate) struct Inside {
    pub(crate) cookie: String,
}

impl Inside {
    #[track_caller]
    pub(crate) fn of(answer: &Answer) -> Self {
        let set = answer.header("set-cookie");
        Self { cookie: set.split(';').next().unwrap().to_owned() }
    }

    /// The header it sends.
    pub(crate) fn header(&self) -> (&str, &str) {
        ("Cookie", &self.cookie)
    }

    /// The token of its forms.
    #[track_caller]
    pub(crate) fn token(&self, server: &Server) -> String {
        server.get("/", &[self.header()]).is(200).token()
    }

    /// Sends a form with all that a page of ours sends.
    pub(crate) fn post(&self, server: &Server, path: &str, fields: &str) -> Answer {
        let body = format!("form-token={}&{fields}", self.token(server));
        server.post(path, &[self.header(), ("Origin", &server.origin())], &body)
    }
}

/// What is read until the other end hangs up, politely or not.
pub(crate) fn to_end(line: &mut dyn Line) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    match line.read_to_end(&mut bytes) {
        Err(error) if bytes.is_empty() => Err(error),
        _ => Ok(bytes),
    }
}

/// Fields as a form sends them.
pub(crate) fn form(fields: &[(&str, &str)]) -> String {
    let pair = |(name, value): &(&str, &str)| format!("{}={}", encoded(name), encoded(value));
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

/// A text as a part of an address, with every sign that may mean something written out.
pub(crate) fn encoded(text: &str) -> String {
    let one = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
            char::from(byte).to_string()
        }
        byte => format!("%{byte:02X}"),
    };
    text.bytes().map(one).collect()
}

/// The value of a field of a page.
pub(crate) fn field(body: &str, name: &str) -> String {
    let rest = body.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().to_owned()
}

impl Server {
    /// Sends fields as a page of ours does where nobody comes in.
    pub(crate) fn fill(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        more: &[(&str, &str)],
    ) -> Answer {
        let token = self.get("/documents", &[]).is(200).token();
        let body = form(&[&[("form-token", token.as_str())], fields].concat());
        self.post(path, &[&[("Origin", self.origin().as_str())], more].concat(), &body)
    }
}

#[cfg(target_os = "linux")]
impl Server {
    /// Opens a connection from another address of this machine.
    pub(crate) fn wire_from(&self, from: [u8; 4]) -> TcpStream {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        let stream = runtime.block_on(async {
            let socket = tokio::net::TcpSocket::new_v4().unwrap();
            socket.bind((Ipv4Addr::from(from), 0).into()).unwrap();
            socket.connect((Ipv4Addr::LOCALHOST, self.port).into()).await.unwrap()
        });
        let stream = stream.into_std().unwrap();
        stream.set_nonblocking(false).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream
    }

    /// Sends a form from another address of this machine.
    pub(crate) fn post_from(&self, from: [u8; 4], path: &str, body: &str) -> Answer {
        let wire = self.wire_from(from);
        let mut line = self.encrypt(wire);
        let text = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nOrigin: {}\r\nConnection: close\r\n\
            Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.host(),
            self.origin(),
            body.len()
        );
        let _ = line.write_all(text.as_bytes());
        let _ = line.flush();
        Answer::read(&to_end(line.as_mut()).unwrap_or_default())
    }
}
