//! Any bytes as a METAR line: a report that can be, or words why not.

#![no_main]

use libfuzzer_sys::fuzz_target;
use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_turnaround::weather::read_metar;

fuzz_target!(|bytes: &[u8]| {
    let line = String::from_utf8_lossy(bytes);
    match read_metar(&line) {
        Err(error) => {
            assert!(!error.message.is_empty() && !error.help.is_empty());
            assert!(!error.message.contains(char::is_control), "{error:?}");
        }
        Ok(weather) => {
            if let Some(wind) = weather.wind {
                let strongest = wind.strongest().count(unit::KT);
                assert!(strongest >= wind.speed.count(unit::KT) && strongest <= 200.0 + 1e-9);
                let from = wind.from.map_or(0.0, |from| from.count(unit::DEG));
                assert!((0.0..=360.0 + 1e-9).contains(&from));
            }
            if let Some(qnh) = weather.qnh {
                assert!((850.0..=1090.0).contains(&qnh.count(unit::HPA)));
            }
            if let (Some(air), Some(dew)) = (weather.temperature, weather.dew_point) {
                assert!(dew <= air);
            }
        }
    }
});
