//! Takes connections: plain on loopback, encrypted on the network, with a limit on everything that
//! a stranger could make long or many.
//!
//! Limits: common practice, no source.

use std::{
    collections::HashMap,
    convert::Infallible,
    future::Future,
    net::{IpAddr, SocketAddr},
    sync::{Arc, Mutex, PoisonError},
    time::Duration,
};

use axum::{Router, body::Body, extract::Request};
use hyper::{body::Incoming, server::conn::http1, service::service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use rustls::ServerConfig;
use tokio::{
    io::{AsyncRead, AsyncWrite, AsyncWriteExt as _},
    net::{TcpListener, TcpStream},
    sync::watch,
    task::JoinSet,
    time::{sleep, timeout},
};
use tokio_rustls::TlsAcceptor;
use tower_service::Service as _;

/// The head of a request has to be here within this time, also on a connection kept open.
const HEAD: Duration = Duration::from_secs(10);

/// So has what comes before encryption stands.
const HANDSHAKE: Duration = Duration::from_secs(10);

/// Answers that are being given when the program ends have this long.
const END: Duration = Duration::from_secs(3);

/// Bytes of a head at most.
const HEAD_BYTES: usize = 16 * 1024;

/// Lines of a head at most.
const HEAD_LINES: usize = 64;

/// Connections at the same time.
const ALL: usize = 256;

/// Connections from one address at the same time. A phone that watches a run sheet has a few.
const EACH: usize = 32;

/// First byte of an encrypted greeting: RFC 8446, section 5.1, memory.
const HANDSHAKE_BYTE: u8 = 22;

/// The other end of a connection, put beside each of its requests.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peer(pub(crate) SocketAddr);

/// Serves until `stop` is ready.
pub(crate) async fn serve(
    listener: TcpListener,
    encrypted: Option<Arc<ServerConfig>>,
    router: Router,
    stop: impl Future<Output = ()>,
) {
    let acceptor = encrypted.map(TlsAcceptor::from);
    let open = Arc::new(Mutex::new(Open::default()));
    let (ending, ended) = watch::channel(false);
    let mut running = JoinSet::new();
    tokio::pin!(stop);
    loop {
        let (stream, peer) = tokio::select! {
            () = &mut stop => break,
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                // No more file handles, mostly: those in use are given back in a while.
                Err(_) => {
                    sleep(Duration::from_millis(100)).await;
                    continue;
                }
            },
        };
        // Who opens too many is hung up on; there is nothing to say before encryption.
        let Some(place) = Place::take(&open, peer.ip()) else { continue };
        let pages = Pages { peer, router: router.clone(), ended: ended.clone() };
        let acceptor = acceptor.clone();
        running.spawn(async move {
            connection(stream, acceptor, pages).await;
            drop(place);
        });
        while running.try_join_next().is_some() {}
    }
    drop(listener);
    let _ = ending.send(true);
    let all = async { while running.join_next().await.is_some() {} };
    let _ = timeout(END, all).await;
}

/// What a connection needs for its requests.
struct Pages {
    peer: SocketAddr,
    router: Router,
    /// True once the program is to end: answers being given are finished, no more are begun.
    ended: watch::Receiver<bool>,
}

async fn connection(stream: TcpStream, acceptor: Option<TlsAcceptor>, pages: Pages) {
    // Answers are small, and a phone waits for each.
    let _ = stream.set_nodelay(true);
    let Some(acceptor) = acceptor else { return requests(stream, pages).await };
    let mut first = [0];
    match timeout(HANDSHAKE, stream.peek(&mut first)).await {
        Ok(Ok(1)) if first[0] == HANDSHAKE_BYTE => {}
        Ok(Ok(1)) => return in_the_clear(stream).await,
        _ => return,
    }
    if let Ok(Ok(stream)) = timeout(HANDSHAKE, acceptor.accept(stream)).await {
        requests(stream, pages).await;
    }
}

/// Somebody wrote `http://`. No redirection: the name they used is not looked at, and an address
/// made from it would be a stranger's choice.
async fn in_the_clear(mut stream: TcpStream) {
    const WORDS: &str = "This address is encrypted: write https:// before it.\n";
    let answer = format!(
        "HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\n\
        Content-Length: {}\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n{WORDS}",
        WORDS.len()
    );
    let _ = timeout(HANDSHAKE, async {
        stream.write_all(answer.as_bytes()).await?;
        stream.shutdown().await?;
        // What was sent is read away, or the answer would be thrown away with it.
        let mut rest = tokio::io::AsyncReadExt::take(stream, HEAD_BYTES as u64);
        tokio::io::copy(&mut rest, &mut tokio::io::sink()).await
    })
    .await;
}

async fn requests(stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static, pages: Pages) {
    let Pages { peer, router, mut ended } = pages;
    let service = service_fn(move |request: Request<Incoming>| {
        let mut request = request.map(Body::new);
        request.extensions_mut().insert(Peer(peer));
        let mut router = router.clone();
        async move { Ok::<_, Infallible>(router.call(request).await.unwrap_or_else(|it| match it {})) }
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(HEAD_BYTES)
        .max_headers(HEAD_LINES)
        .serve_connection(TokioIo::new(stream), service);
    tokio::pin!(connection);
    // A connection that breaks is everyday life at a strip.
    let told = async {
        // Nobody left to tell is an end as well.
        let _ = ended.wait_for(|ended| *ended).await;
    };
    tokio::select! {
        _ = &mut connection => {}
        () = told => {
            connection.as_mut().graceful_shutdown();
            let _ = connection.await;
        }
    }
}

/// How many connections are open, and from where.
#[derive(Debug, Default)]
struct Open {
    all: usize,
    from: HashMap<IpAddr, usize>,
}

impl Open {
    fn take(&mut self, from: IpAddr) -> bool {
        let here = self.from.get(&from).copied().unwrap_or(0);
        if self.all >= ALL || here >= EACH {
            return false;
        }
        self.all += 1;
        self.from.insert(from, here + 1);
        true
    }

    fn give_back(&mut self, from: IpAddr) {
        self.all = self.all.saturating_sub(1);
        match self.from.get_mut(&from) {
            Some(here) if *here > 1 => *here -= 1,
            _ => drop(self.from.remove(&from)),
        }
    }
}

/// One place among the connections, given back when it is dropped.
struct Place {
    open: Arc<Mutex<Open>>,
    from: IpAddr,
}

impl Place {
    fn take(open: &Arc<Mutex<Open>>, from: IpAddr) -> Option<Self> {
        let taken = open.lock().unwrap_or_else(PoisonError::into_inner).take(from);
        taken.then(|| Self { open: Arc::clone(open), from })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.open.lock().unwrap_or_else(PoisonError::into_inner).give_back(self.from);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_cannot_take_every_place_and_all_are_given_back() {
        let open = Arc::new(Mutex::new(Open::default()));
        let from = |last| IpAddr::from([192, 0, 2, last]);
        let mut places: Vec<_> = (0..EACH).filter_map(|_| Place::take(&open, from(1))).collect();
        assert_eq!(places.len(), EACH);
        assert!(Place::take(&open, from(1)).is_none());
        for last in 2..=250 {
            places.extend((0..EACH).filter_map(|_| Place::take(&open, from(last))));
        }
        assert_eq!(places.len(), ALL);
        places.truncate(EACH - 1);
        assert!(Place::take(&open, from(1)).is_some());
        places.clear();
        let open = open.lock().unwrap();
        assert_eq!((open.all, open.from.len()), (0, 0));
    }
}
