//! The local server: pages and answers from the documents of one folder and the ledger beside
//! it, for this machine alone.
//!
//! | module | is |
//! |---|---|
//! | `shop` | what all requests share: folder, ledger, what was worked out |
//! | `folder` | documents by name; no name leads out of the folder |
//! | `routes` | every address, and what answers it |
//! | `guard` | what every request passes and every answer carries |
//! | `listen` | connections, with limits on their time; a graceful stop |
//! | `author` | who a request is from |
//! | `reply`, `form` | pages, redirects and failures as answers; what was typed |
//! | `first`, `stop`, `sheet`, `yard`, `drum`, `documents`, `packs`, `api` | the answers |
//! | `demo` | the demonstration in a folder of its own |

mod api;
mod author;
pub(crate) mod demo;
mod documents;
mod drum;
mod first;
pub(crate) mod folder;
mod form;
mod guard;
mod listen;
mod packs;
mod reply;
mod routes;
mod sheet;
pub(crate) mod shop;
mod stop;
mod yard;

use std::{net::SocketAddr, sync::Arc};

use qrcode::{QrCode, render::unicode};
use tokio::net::TcpListener;

use self::shop::Shop;
use crate::{problem::Failure, report::text::CAUTION};

/// The port when nobody names one; registered for nothing we know of.
pub(crate) const PORT: u16 = 4740;

/// Serves until it is told to stop.
pub(crate) fn run(mut shop: Shop, port: u16) -> Result<(), Failure> {
    let stuck = |error: std::io::Error| {
        Failure::asked(
            format!("port {port} cannot be used: {error}"),
            "name another with --port, or 0 for any that is free",
        )
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(stuck)?;
    runtime.block_on(async move {
        let listener = TcpListener::bind(("127.0.0.1", port)).await.map_err(stuck)?;
        let address = listener.local_addr().map_err(stuck)?;
        shop.hosts = hosts(address);
        announce(address, &shop);
        listen::serve(listener, routes::router(Arc::new(shop)), listen::told_to_stop()).await;
        Ok(())
    })
}

/// The names that this machine goes by for itself.
fn hosts(address: SocketAddr) -> Vec<String> {
    let port = address.port();
    ["127.0.0.1", "localhost", "[::1]"].map(|host| format!("{host}:{port}")).to_vec()
}

/// Prints the address, and a code of it for a camera.
fn announce(address: SocketAddr, shop: &Shop) {
    use std::io::Write as _;
    let url = format!("http://{address}/");
    let mut out = anstream::stdout().lock();
    // Where nobody reads, the pages are served all the same.
    let _ = writeln!(out, "Stillprop at {url}");
    if let Ok(code) = QrCode::new(&url) {
        let picture = code.render::<unicode::Dense1x2>().quiet_zone(true).build();
        let _ = writeln!(out, "\n{picture}\n");
    }
    if shop.demo {
        let _ = writeln!(out, "THE DEMONSTRATION: everything in it is invented.");
    }
    let _ = writeln!(out, "documents: {}", shop.folder.root().display());
    let _ = writeln!(out, "ledger:    {}", shop.ledger.display());
    let _ =
        writeln!(out, "This machine alone can reach it. Ctrl-C ends it; what was recorded stays.");
    let _ = writeln!(out, "{CAUTION}");
    let _ = out.flush();
}
