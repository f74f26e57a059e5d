//! A client as plain as can be: one request a connection.

use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
    time::Duration,
};

/// What came back.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Reply {
    /// The value of a header.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (own, value) = line.split_once(':')?;
            own.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    /// The token of the forms on this page; empty when there is none.
    pub(crate) fn token(&self) -> String {
        let rest = self.body.split_once("name=\"form-token\" value=\"").map_or("", |it| it.1);
        rest.split('"').next().unwrap_or_default().to_owned()
    }

    /// Fails unless the status is this.
    #[track_caller]
    pub(crate) fn is(self, status: u16) -> Self {
        assert_eq!(self.status, status, "{}\n{}", self.head, self.body);
        self
    }
}

/// Sends bytes as they are, and reads to the end.
pub(crate) fn raw(address: &str, request: &[u8]) -> Reply {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    // A server that has answered already may not want the rest.
    let _ = stream.write_all(request);
    read(&mut stream)
}

/// The same where nobody may be there to answer.
pub(crate) fn try_raw(address: &str, request: &str) -> Option<Reply> {
    let mut stream = TcpStream::connect(address).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(30))).ok()?;
    let _ = stream.write_all(request.as_bytes());
    Some(read(&mut stream))
}

/// Reads an answer to its end.
pub(crate) fn read(stream: &mut TcpStream) -> Reply {
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    let text = String::from_utf8_lossy(&bytes);
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
    Reply { status, head: head.to_owned(), body: body.to_owned() }
}

/// The head of a request to an address, as a browser on it sends it.
pub(crate) fn request(method: &str, address: &str, path: &str, headers: &[(&str, &str)]) -> String {
    let mut text = format!("{method} {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n");
    for (name, value) in headers {
        text.push_str(&format!("{name}: {value}\r\n"));
    }
    text.push_str("\r\n");
    text
}

/// Fields as a form sends them.
pub(crate) fn form(fields: &[(&str, &str)]) -> String {
    let pair = |(name, value): &(&str, &str)| format!("{}={}", encoded(name), encoded(value));
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

pub(crate) fn encoded(text: &str) -> String {
    let one = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
            char::from(byte).to_string()
        }
        byte => format!("%{byte:02X}"),
    };
    text.bytes().map(one).collect()
}
