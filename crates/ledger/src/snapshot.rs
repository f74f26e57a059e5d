//! Folded state kept beside the records, so that opening does not fold from nothing.
//!
//! A snapshot is never trusted blindly: it is used only when its own bytes are whole and the
//! records it was folded from are still the beginning of every log here. Anything else is as
//! if there were none. It may be deleted at any time.
//!
//! Kept bytes: SHA-256 of all that follows; then, each number big-endian, how many heads (8),
//! for each head device (16), sequence number (8), hash (32); then the state.

use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::{
    record::{DeviceId, Hash},
    store::{Head, Heads, Store, StoreError},
};

const TAG: &[u8] = b"stillprop.snapshot.1";
const SEAL: usize = 32;

/// State folded from all records up to `heads`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Snapshot {
    /// How far each log was folded.
    pub heads: Heads,
    /// The state, in the form of whoever folded it.
    pub bytes: Vec<u8>,
}

/// Keeps a snapshot under a name, in place of the one before.
///
/// # Errors
///
/// [`StoreError`]; then the one before is still there.
pub fn keep(store: &mut dyn Store, name: &str, snapshot: &Snapshot) -> Result<(), StoreError> {
    let mut kept = vec![0; SEAL];
    kept.extend((snapshot.heads.len() as u64).to_be_bytes());
    for (device, Head { seq, hash }) in &snapshot.heads {
        kept.extend(device.0.as_bytes());
        kept.extend(seq.to_be_bytes());
        kept.extend(hash.0);
    }
    kept.extend(&snapshot.bytes);
    if let Some((seal, rest)) = kept.split_at_mut_checked(SEAL) {
        seal.copy_from_slice(&seal_of(name, rest));
    }
    store.keep(name, &kept)
}

/// The snapshot under a name, when there is one that can be trusted.
///
/// # Errors
///
/// [`StoreError`] when the store cannot be read.
pub fn load(store: &dyn Store, name: &str) -> Result<Option<Snapshot>, StoreError> {
    let Some(mut kept) = store.kept(name)? else { return Ok(None) };
    let Some((heads, state)) = open(name, &kept) else { return Ok(None) };
    for (device, head) in &heads {
        if store.hash_at(*device, head.seq)? != Some(head.hash) {
            return Ok(None);
        }
    }
    kept.drain(..state);
    Ok(Some(Snapshot { heads, bytes: kept }))
}

/// The heads in kept bytes that are whole, and where the state begins.
fn open(name: &str, kept: &[u8]) -> Option<(Heads, usize)> {
    let (seal, mut rest) = kept.split_first_chunk::<SEAL>()?;
    if seal_of(name, rest) != *seal {
        return None;
    }
    let count = u64::from_be_bytes(*first(&mut rest)?);
    let mut heads = Heads::new();
    for _ in 0..count {
        let device = DeviceId(Uuid::from_bytes(*first(&mut rest)?));
        let seq = u64::from_be_bytes(*first(&mut rest)?);
        heads.insert(device, Head { seq, hash: Hash(*first(&mut rest)?) });
    }
    Some((heads, kept.len() - rest.len()))
}

fn first<'a, const N: usize>(bytes: &mut &'a [u8]) -> Option<&'a [u8; N]> {
    let (chunk, rest) = bytes.split_first_chunk()?;
    *bytes = rest;
    Some(chunk)
}

/// The name is under the seal, so that one state is never taken for another.
fn seal_of(name: &str, rest: &[u8]) -> [u8; SEAL] {
    let mut sha = Sha256::new();
    for field in [TAG, name.as_bytes(), rest] {
        sha.update((field.len() as u64).to_be_bytes());
        sha.update(field);
    }
    sha.finalize().into()
}
