//! Access: who may use the pages, and from where.
//!
//! On this machine alone (`Reach::Loopback`) nobody logs in: who is at the laptop is at the laptop. With
//! `--lan` everything is encrypted and everybody is a person with a role. Both refuse what
//! a strange page in the same browser could send. `docs/access.md` says what is protected and
//! what is not, `docs/decisions/0018-access.md` why.
//!
//! | module | is |
//! |---|---|
//! | `roles` | who may do what: the table |
//! | `people`, `phrase`, `code` | names; passphrases; one-time codes |
//! | `session`, `secret`, `form` | how long a session stands; its token; the token of its forms |
//! | `limiter` | how often somebody may try |
//! | `origin` | whether a request is meant for us and comes from our own pages |
//! | `store` | what is kept, beside the ledger |
//! | `certificate`, `listen` | encryption; connections and their limits |
//! | `gate` | the open port, and what is shown for it on the laptop |
//! | `allowed` | a page without what a role may not use |
//! | `guard`, `enter`, `page` | what every request goes through; coming in and going out; their pages |
//!
//! All but the last four lines are functions of the time and the random bytes they are given.

mod allowed;
pub(crate) mod certificate;
pub(crate) mod code;
mod enter;
pub(crate) mod form;
pub(crate) mod gate;
mod guard;
mod limiter;
pub(crate) mod listen;
mod origin;
mod page;
pub(crate) mod people;
pub(crate) mod phrase;
pub(crate) mod roles;
mod secret;
mod session;
pub(crate) mod store;

use std::{
    net::IpAddr,
    path::Path,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use axum::{Router, middleware, routing};
use tokio::sync::Semaphore;
use tower_http::{CompressionLevel, compression::CompressionLayer};

use self::{
    certificate::Made,
    limiter::Limiter,
    origin::Reach,
    roles::{Deed, Role},
    secret::Token,
    store::Store,
};
use crate::{problem::Failure, world};

/// How many passphrases are hashed at the same time: each takes memory and a core.
const HASHING: usize = 2;

/// Who sent a request. Every handler finds one beside it. Forms get their token without them.
#[derive(Clone)]
pub(crate) struct Who {
    /// The person; `None` on this machine alone, where whoever records says who it is.
    pub(crate) person: Option<String>,
    /// What that person may do.
    pub(crate) role: Role,
    /// The token that every form on a page for that person carries.
    form: String,
}

impl Who {
    /// True when that person may do this.
    pub(crate) fn may(&self, deed: Deed) -> bool {
        self.role.may(deed)
    }
}

/// What every request is judged by.
pub(crate) struct Access {
    reach: Reach,
    port: u16,
    /// `None` on this machine alone.
    store: Option<Mutex<Store>>,
    limiter: Mutex<Limiter>,
    hashing: Semaphore,
    /// The token of forms where there are no sessions.
    own: Token,
}

impl Access {
    /// For this machine alone. A page that is open survives a restart.
    pub(crate) fn loopback(port: u16, ledger: &Path) -> Result<Arc<Self>, Failure> {
        let store = Store::open(&store::beside(ledger))?;
        let own = store.own_token(world::random()?)?;
        Ok(Self::new(Reach::Loopback, port, None, own))
    }

    /// For people on the network.
    pub(crate) fn lan(port: u16, ledger: &Path) -> Result<Arc<Self>, Failure> {
        let store = Store::open(&store::beside(ledger))?;
        if store.people()?.is_empty() {
            let help = format!(
                "add one first: stillprop people add NAME --role pilot --ledger {:?}",
                ledger.display().to_string()
            );
            return Err(Failure::asked("nobody may come in over the network yet", help));
        }
        let own = Token::new(world::random()?);
        Ok(Self::new(Reach::Lan, port, Some(Mutex::new(store)), own))
    }

    fn new(reach: Reach, port: u16, store: Option<Mutex<Store>>, own: Token) -> Arc<Self> {
        let (limiter, hashing) = (Mutex::new(Limiter::new()), Semaphore::new(HASHING));
        Arc::new(Self { reach, port, store, limiter, hashing, own })
    }

    /// Puts the guard before every page, and adds the pages for coming in and going out.
    pub(crate) fn protect(self: &Arc<Self>, pages: Router) -> Router {
        let own = Router::new()
            .route(enter::IN, routing::get(enter::form).post(enter::come_in))
            .route(enter::OUT, routing::post(enter::go_out))
            .with_state(Arc::clone(self));
        let guard = middleware::from_fn_with_state(Arc::clone(self), guard::guard);
        // Packed last, so that the guard sees pages as they are. A page says a form's token beside
        // what was typed, and packing would give it away by its length to whoever makes somebody's
        // browser ask often; but no other page's request brings the cookie along (SameSite=Strict).
        let packing = CompressionLayer::new().quality(CompressionLevel::Fastest);
        pages.merge(own).layer(guard).layer(packing)
    }

    /// The store, where there is one. A panic elsewhere leaves nothing half done in it.
    fn store(&self) -> Option<MutexGuard<'_, Store>> {
        Some(self.store.as_ref()?.lock().unwrap_or_else(PoisonError::into_inner))
    }

    fn limiter(&self) -> MutexGuard<'_, Limiter> {
        self.limiter.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The certificate of this machine: the one that is kept, or a new one when that is old.
pub(crate) fn certificate(ledger: &Path, addresses: &[IpAddr]) -> Result<Made, Failure> {
    let store = Store::open(&store::beside(ledger))?;
    let now = world::now();
    if let Some(made) = store.certificate()?.filter(|made| !made.is_old(now)) {
        return Ok(made);
    }
    let made = Made::make(addresses, now)?;
    store.keep_certificate(&made)?;
    Ok(made)
}
