//! The local server: pages and answers from the documents of one folder and the ledger beside
//! it.
//!
//! | module | is |
//! |---|---|
//! | `shop` | what all requests share: folder, ledger, what was worked out |
//! | `folder` | documents by name; no name leads out of the folder |
//! | `routes` | every address, and what answers it |
//! | `access` | who may come in and from where: what every request passes, connections and their limits |
//! | `author` | who a request is from |
//! | `reply`, `form` | pages, redirects and failures as answers; what was typed |
//! | `search` | what to change at a stop: as pages, for programs, written into a new version |
//! | `aboard`, `dates`, `aftermath` | dangerous goods and manifest, what falls due, after an event |
//! | `first`, `stop`, `sheet`, `yard`, `drum`, `documents`, `packs`, `papers`, `api` | the answers |
//! | `demo` | the demonstration in a folder of its own |

mod aboard;
pub(crate) mod access;
mod aftermath;
mod api;
mod author;
mod dates;
pub(crate) mod demo;
mod documents;
mod drum;
mod first;
pub(crate) mod folder;
mod form;
mod packs;
mod papers;
mod reply;
mod routes;
mod search;
mod sheet;
pub(crate) mod shop;
mod stop;
mod yard;

use std::sync::Arc;

use qrcode::{QrCode, render::unicode};

use self::{
    access::gate::{Gate, Opening},
    shop::Shop,
};
use crate::{problem::Failure, report::text::CAUTION};

/// The port when nobody names one; registered for nothing we know of.
pub(crate) const PORT: u16 = 4740;

/// Serves until it is told to stop.
pub(crate) fn run(shop: Shop, opening: &Opening) -> Result<(), Failure> {
    let gate = Gate::open(opening, &shop.ledger)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| Failure::asked(error.to_string(), "close other programs"))?;
    runtime.block_on(async move {
        announce(&gate, &shop);
        gate.serve(routes::router(Arc::new(shop)), told_to_stop()).await
    })
}

/// Prints the addresses, and a code of the first for a camera.
fn announce(gate: &Gate, shop: &Shop) {
    use std::io::Write as _;
    let mut out = anstream::stdout().lock();
    // Where nobody reads, the pages are served all the same.
    for url in &gate.addresses {
        let _ = writeln!(out, "Stillprop at {url}");
    }
    if let Some(code) = gate.addresses.first().and_then(|url| QrCode::new(url).ok()) {
        let picture = code.render::<unicode::Dense1x2>().quiet_zone(true).build();
        let _ = writeln!(out, "\n{picture}\n");
    }
    if shop.demo {
        let _ = writeln!(out, "THE DEMONSTRATION: everything in it is invented.");
    }
    let _ = writeln!(out, "documents: {}", shop.folder.root().display());
    let _ = writeln!(out, "ledger:    {}", shop.ledger.display());
    let reach = match &gate.fingerprint {
        Some(fingerprint) => {
            let _ = writeln!(out, "certificate SHA-256 {fingerprint}");
            "People come in with a code (stillprop people code NAME) or a passphrase."
        }
        None => "This machine alone can reach it.",
    };
    let _ = writeln!(out, "{reach} Ctrl-C ends it; what was recorded stays.");
    let _ = writeln!(out, "{CAUTION}");
    let _ = out.flush();
}

/// Ready when the program is told to end: Ctrl-C, or what a system sends when it goes down.
async fn told_to_stop() {
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
