//! `serve`: the local pages.
use std::{io::Write as _, net::IpAddr};

use clap::Args;

use super::Answer;
use crate::{
    problem::Failure,
    serve::access::{gate::Gate, store},
    world,
    yard::Which,
};

/// Options of `serve`.
#[derive(Args, Debug)]
pub(super) struct Options {
    #[arg(long, default_value_t = 4740)]
    port: u16,
    #[arg(long)]
    lan: bool,
    #[arg(long)]
    address: Vec<IpAddr>,
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let ledger = store::ledger(Which::of(options.ledger.as_deref())?)?;
    let gate = if options.lan {
        let mut own = options.address.clone();
        own.extend(world::addresses());
        Gate::lan(options.port, &ledger, &own)?
    } else {
        Gate::loopback(options.port, Some(&ledger))?
    };
    let mut out = anstream::stdout().lock();
    let _ = writeln!(out, "Stillprop at {}", gate.addresses.join(" "));
    if let Some(fingerprint) = &gate.fingerprint {
        let _ = writeln!(out, "certificate SHA-256 {fingerprint}");
    }
    let _ = out.flush();
    let runtime =
        tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build();
    let runtime = runtime.map_err(|error| Failure::asked(error.to_string(), "try again"))?;
    let page = || async { axum::response::Html("<form method=\"post\" action=\"/name\"></form>") };
    let pages = axum::Router::new().route("/", axum::routing::get(page));
    runtime.block_on(gate.serve(pages, std::future::pending()))?;
    Ok(Answer::text(String::new()))
}
