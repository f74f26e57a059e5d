//! What people type, as quantities and names that an event can hold.

use stillprop_calc::{
    bounds::Bounds,
    density, fuel,
    quantity::{FromAmount, MassDensity, ThermodynamicTemperature, Volume},
    unit,
};

/// A volume of fuel with its unit.
pub(crate) fn volume(text: &str) -> Result<Volume, String> {
    within(&fuel::VOLUME, text)
}

/// A density with its unit.
pub(crate) fn density(text: &str) -> Result<MassDensity, String> {
    within(&density::READING, text)
}

/// A temperature with its unit.
pub(crate) fn temperature(text: &str) -> Result<ThermodynamicTemperature, String> {
    within(&density::TEMPERATURE, text)
}

fn within<Q: FromAmount>(bounds: &Bounds, text: &str) -> Result<Q, String> {
    bounds.check(quantity(text)?).map_err(|error| error.to_string())
}

fn quantity<Q: FromAmount>(text: &str) -> Result<Q, String> {
    match unit::read(text, Q::KIND) {
        Ok((amount, _)) => Ok(Q::from_si(amount.si)),
        Err(error) => Err(format!("{error}; {}", error.hint())),
    }
}

/// A name of anything. An empty one could never be found again.
pub(crate) fn name(text: &str) -> Result<String, String> {
    match text.trim() {
        "" => Err("it is empty".into()),
        name => Ok(name.to_owned()),
    }
}

/// Two hours of a clock: `3,9`.
pub(crate) fn bungs(text: &str) -> Result<[u8; 2], String> {
    let hour = |text: &str| text.trim().parse::<u8>().ok().filter(|hour| (1..=12).contains(hour));
    let both = text.split_once(',').and_then(|(a, b)| Some([hour(a)?, hour(b)?]));
    both.ok_or_else(|| "write two hours of a clock: 3,9".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sides_of_the_bounds_of_a_reading() {
        for (text, ok) in [("550 kg/m3", true), ("549 kg/m3", false), ("1.151 kg/L", false)] {
            assert_eq!(density(text).is_ok(), ok, "{text}");
        }
        for (text, ok) in [("-50 degC", true), ("-51 degC", false), ("95.1 degC", false)] {
            assert_eq!(temperature(text).is_ok(), ok, "{text}");
        }
        assert!(density("NaN kg/L").is_err() && temperature("inf degC").is_err());
    }

    #[test]
    fn both_sides_of_each_bound_of_a_volume() {
        for (text, ok) in [
            ("0 L", true),
            ("-0.001 L", false),
            ("50000 L", true),
            ("50000.1 L", false),
            ("NaN L", false),
            ("inf L", false),
            ("200", false),
            ("200 kg", false),
        ] {
            assert_eq!(volume(text).is_ok(), ok, "{text}");
        }
    }

    #[test]
    fn a_name_has_letters_and_no_spaces_around() {
        assert_eq!(name(" NT-01 "), Ok("NT-01".into()));
        for empty in ["", " ", "\t\n"] {
            assert!(name(empty).is_err(), "{empty:?}");
        }
    }

    #[test]
    fn bungs_point_to_hours_of_a_clock() {
        assert_eq!(bungs("3, 9"), Ok([3, 9]));
        assert_eq!(bungs("12,1"), Ok([12, 1]));
        for wrong in ["", "3", "0,9", "3,13", "3,9,12", "-3,9", "a,b"] {
            assert!(bungs(wrong).is_err(), "{wrong}");
        }
    }
}
