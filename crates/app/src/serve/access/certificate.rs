//! The certificate of this machine: made here, trusted by nobody until a person compares its
//! fingerprint.
//!
//! It names `localhost` and the addresses that the machine had when it was made. On another
//! network a browser says that the name does not match, as it says anyway that it does not
//! know who signed; the fingerprint stays the same, and that is what people compare.
//!
//! Sources: at most 825 days, or some phones refuse it: Apple support article 103769 (HT210176),
//! memory. A year and a day: common practice, no source.

use std::{net::IpAddr, sync::Arc};

use jiff::{SignedDuration, Timestamp, tz::Offset};
use rcgen::{
    CertificateParams, DistinguishedName, DnType, ExtendedKeyUsagePurpose, KeyPair, KeyUsagePurpose,
};
use rustls::{
    ServerConfig,
    crypto::ring,
    pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer},
};
use sha2::{Digest as _, Sha256};

use super::secret::hex;
use crate::problem::Failure;

/// How long a certificate is good.
const LIFE: SignedDuration = SignedDuration::from_hours(366 * 24);

/// It is made anew when it has no more than this left.
const LEFT: SignedDuration = SignedDuration::from_hours(7 * 24);

/// A certificate with its key.
#[derive(Clone, PartialEq, Eq)]
pub(crate) struct Made {
    /// The certificate, DER.
    pub(crate) certificate: Vec<u8>,
    /// The same as a file for a phone, PEM.
    pub(crate) pem: String,
    /// Its key, PKCS #8 in DER.
    pub(crate) key: Vec<u8>,
    /// From when on it is good no more.
    pub(crate) ends: Timestamp,
}

// Written by hand, so that no key comes into a message.
impl std::fmt::Debug for Made {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Made").field("ends", &self.ends).finish_non_exhaustive()
    }
}

impl Made {
    /// Makes a certificate that names these addresses.
    pub(crate) fn make(addresses: &[IpAddr], now: Timestamp) -> Result<Self, Failure> {
        let failed = |error: rcgen::Error| {
            let help = "without --lan the pages are there for this machine alone";
            Failure::asked(format!("no certificate could be made: {error}"), help)
        };
        let mut names = vec!["localhost".to_owned(), "127.0.0.1".to_owned(), "::1".to_owned()];
        names.extend(addresses.iter().map(IpAddr::to_string).filter(|it| it != "::1"));
        names.dedup();
        let mut params = CertificateParams::new(names).map_err(failed)?;
        params.distinguished_name = DistinguishedName::new();
        params.distinguished_name.push(DnType::CommonName, "Stillprop on this machine");
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        // A day earlier, for clocks that are behind.
        let day_before = now.saturating_sub(SignedDuration::from_hours(24));
        let (year, month, day) = date(day_before.unwrap_or(now));
        params.not_before = rcgen::date_time_ymd(year, month, day);
        let ends = midnight(now.saturating_add(LIFE).unwrap_or(now));
        let (year, month, day) = date(ends);
        params.not_after = rcgen::date_time_ymd(year, month, day);
        let key = KeyPair::generate().map_err(failed)?;
        let signed = params.self_signed(&key).map_err(failed)?;
        let (certificate, pem) = (signed.der().to_vec(), signed.pem());
        Ok(Self { certificate, pem, key: key.serialize_der(), ends })
    }

    /// True when it should be made anew.
    pub(crate) fn is_old(&self, now: Timestamp) -> bool {
        self.ends.duration_since(now) <= LEFT
    }

    /// SHA-256 of the certificate as browsers show it: `AB:CD:...`.
    pub(crate) fn fingerprint(&self) -> String {
        let digits = hex(&Sha256::digest(&self.certificate)).to_uppercase();
        let pairs: Vec<&str> = (0..digits.len()).step_by(2).map(|at| &digits[at..at + 2]).collect();
        pairs.join(":")
    }

    /// What the server needs of it: TLS 1.2 and 1.3, HTTP/1.1.
    pub(crate) fn server(&self) -> Result<Arc<ServerConfig>, Failure> {
        let failed = |error: rustls::Error| {
            let help = "stillprop people new-certificate makes another";
            Failure::asked(format!("the certificate cannot be used: {error}"), help)
        };
        let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(self.key.clone()));
        let chain = vec![CertificateDer::from(self.certificate.clone())];
        let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(failed)?
            .with_no_client_auth()
            .with_single_cert(chain, key)
            .map_err(failed)?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(Arc::new(config))
    }
}

/// Year, month and day of an instant, in UTC.
fn date(at: Timestamp) -> (i32, u8, u8) {
    let day = Offset::UTC.to_datetime(at);
    let part = |number: i8| u8::try_from(number).unwrap_or(1);
    (day.year().into(), part(day.month()), part(day.day()))
}

/// The beginning of that day.
fn midnight(at: Timestamp) -> Timestamp {
    let day = Offset::UTC.to_datetime(at).date().at(0, 0, 0, 0);
    Offset::UTC.to_timestamp(day).unwrap_or(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> Timestamp {
        "2026-06-21T07:30:00Z".parse().unwrap()
    }

    #[test]
    fn it_is_good_for_a_year_and_made_anew_in_its_last_week() {
        let made = Made::make(&[], now()).unwrap();
        assert_eq!(made.ends.to_string(), "2027-06-22T00:00:00Z");
        assert!(!made.is_old(now()));
        assert!(!made.is_old("2027-06-14T23:59:59Z".parse().unwrap()));
        assert!(made.is_old("2027-06-15T00:00:00Z".parse().unwrap()));
        assert!(made.is_old("2030-01-01T00:00:00Z".parse().unwrap()));
    }

    #[test]
    fn a_server_takes_it_and_two_are_never_alike() {
        let one = Made::make(&["192.0.2.7".parse().unwrap()], now()).unwrap();
        let other = Made::make(&["192.0.2.7".parse().unwrap()], now()).unwrap();
        one.server().unwrap();
        assert_ne!(one.fingerprint(), other.fingerprint());
        assert_ne!(one.key, other.key);
        assert!(one.pem.starts_with("-----BEGIN CERTIFICATE-----"));
        assert!(!format!("{one:?}").contains("key"));
    }

    #[test]
    fn a_key_that_is_none_is_said_and_not_served() {
        let mut made = Made::make(&[], now()).unwrap();
        made.key.truncate(20);
        assert!(made.server().is_err());
    }

    #[test]
    fn the_fingerprint_is_what_another_program_gives() {
        // printf abc, through sha256sum (GNU coreutils).
        let made =
            Made { certificate: b"abc".to_vec(), pem: String::new(), key: vec![], ends: now() };
        let wanted = "BA:78:16:BF:8F:01:CF:EA:41:41:40:DE:5D:AE:22:23:\
            B0:03:61:A3:96:17:7A:9C:B4:10:FF:61:F2:00:15:AD";
        assert_eq!(made.fingerprint(), wanted);
    }
}
