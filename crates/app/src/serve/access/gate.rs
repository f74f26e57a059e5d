//! The gate: where the pages are open, for whom, and what is shown for it on the laptop.

use std::{
    future::Future,
    io,
    net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener},
    path::Path,
    sync::Arc,
};

use axum::Router;
use rustls::ServerConfig;

use super::{Access, certificate, listen};
use crate::problem::Failure;

/// Where the pages are to be open.
pub(crate) struct Opening {
    /// The port; 0 takes any that is free.
    pub(crate) port: u16,
    /// For people on the network, and not for this machine alone.
    pub(crate) lan: bool,
    /// Addresses of this machine, the best for a phone first.
    pub(crate) own: Vec<IpAddr>,
}

/// An open port, and what guards it.
pub(crate) struct Gate {
    listener: TcpListener,
    access: Arc<Access>,
    encrypted: Option<Arc<ServerConfig>>,
    /// Where the pages are, the best address for a phone first.
    pub(crate) addresses: Vec<String>,
    /// What a browser shows as the fingerprint of the certificate, where there is one.
    pub(crate) fingerprint: Option<String>,
}

impl Gate {
    /// Opens the port. What is kept about access lies beside the ledger.
    pub(crate) fn open(opening: &Opening, ledger: &Path) -> Result<Self, Failure> {
        if opening.lan {
            Self::lan(opening.port, ledger, &opening.own)
        } else {
            Self::loopback(opening.port, ledger)
        }
    }

    /// For this machine alone.
    fn loopback(port: u16, ledger: &Path) -> Result<Self, Failure> {
        let (listener, port) = bind(IpAddr::V4(Ipv4Addr::LOCALHOST), port)?;
        let access = Access::loopback(port, ledger)?;
        let addresses = vec![format!("http://127.0.0.1:{port}/")];
        Ok(Self { listener, access, encrypted: None, addresses, fingerprint: None })
    }

    /// For people on the network, encrypted.
    fn lan(port: u16, ledger: &Path, own: &[IpAddr]) -> Result<Self, Failure> {
        let (listener, port) = bind(IpAddr::V4(Ipv4Addr::UNSPECIFIED), port)?;
        let access = Access::lan(port, ledger)?;
        let made = certificate(ledger, own)?;
        let here = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let all = own.iter().filter(|own| **own != here).chain([&here]);
        let addresses =
            all.map(|own| format!("https://{}/", SocketAddr::new(*own, port))).collect();
        let fingerprint = Some(made.fingerprint());
        Ok(Self { listener, access, encrypted: Some(made.server()?), addresses, fingerprint })
    }

    /// Serves the pages, each behind the guard, until `stop` is ready.
    pub(crate) async fn serve(
        self,
        pages: Router,
        stop: impl Future<Output = ()>,
    ) -> Result<(), Failure> {
        let listener = tokio::net::TcpListener::from_std(self.listener).map_err(no_port)?;
        listen::serve(listener, self.encrypted, self.access.protect(pages), stop).await;
        Ok(())
    }
}

fn bind(address: IpAddr, port: u16) -> Result<(TcpListener, u16), Failure> {
    let listener = TcpListener::bind((address, port)).map_err(no_port)?;
    listener.set_nonblocking(true).map_err(no_port)?;
    let port = listener.local_addr().map_err(no_port)?.port();
    Ok((listener, port))
}

fn no_port(error: io::Error) -> Failure {
    let help = "is it running already? else choose another port with --port";
    Failure::asked(format!("the port cannot be opened: {error}"), help)
}
