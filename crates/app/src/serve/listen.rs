//! Connections: each with limits on its time, all ended gracefully.

use std::{future::Future, sync::Arc, time::Duration};

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    service::TowerToHyperService,
};
use tokio::{
    io::{AsyncRead, AsyncWrite},
    net::TcpListener,
    sync::{Semaphore, watch},
    task::JoinSet,
};

/// How long the head of a request may take to come.
const HEAD: Duration = Duration::from_secs(10);
/// How long answers that are being given may take to end.
const END: Duration = Duration::from_secs(3);
/// Connections at a time; a phone opens six.
const MOST: usize = 128;

/// Serves connections until `stop` is ready.
pub(super) async fn serve(listener: TcpListener, router: Router, stop: impl Future<Output = ()>) {
    let (ending, ended) = watch::channel(false);
    let places = Arc::new(Semaphore::new(MOST));
    let mut open = JoinSet::new();
    tokio::pin!(stop);
    loop {
        let place = tokio::select! {
            () = &mut stop => break,
            place = Arc::clone(&places).acquire_owned() => place,
        };
        let stream = tokio::select! {
            () = &mut stop => break,
            accepted = listener.accept() => match accepted {
                Ok((stream, _)) => stream,
                Err(_) => {
                    // Out of something that will come back, such as open files.
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
        };
        let _ = stream.set_nodelay(true);
        let (router, ended) = (router.clone(), ended.clone());
        open.spawn(async move {
            connection(stream, router, ended).await;
            drop(place);
        });
        while open.try_join_next().is_some() {}
    }
    drop(listener);
    let _ = ending.send(true);
    let all = async { while open.join_next().await.is_some() {} };
    let _ = tokio::time::timeout(END, all).await;
}

/// One connection, over whatever carries it.
async fn connection<S>(stream: S, router: Router, mut ended: watch::Receiver<bool>)
where
    S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
{
    let mut builder = http1::Builder::new();
    builder.timer(TokioTimer::new()).header_read_timeout(HEAD).max_headers(64);
    let service = TowerToHyperService::new(router);
    let serving = builder.serve_connection(TokioIo::new(stream), service);
    tokio::pin!(serving);
    let ended = async {
        let _ = ended.wait_for(|ended| *ended).await;
    };
    tokio::select! {
        _ = &mut serving => {}
        () = ended => {
            serving.as_mut().graceful_shutdown();
            let _ = serving.await;
        }
    }
}

/// Ready when the program is told to end: Ctrl-C, or what a system sends when it goes down.
pub(super) async fn told_to_stop() {
    let interrupted = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminated = async {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminated = std::future::pending::<()>();
    tokio::select! {
        () = interrupted => {}
        () = terminated => {}
    }
}
