//! Identifiers of the published sources that calculations cite.
//!
//! `sources.toml` beside this crate holds title, edition, page and how each was read;
//! `cargo xtask tidy` checks that every id here has a row there and every row a user.

/// The id of a row of `sources.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Source(pub &'static str);

/// `sources.toml`, for programs that print full citations.
pub const SOURCES_TOML: &str = include_str!("../sources.toml");

/// Declares ids as constants and as one list.
macro_rules! sources {
    ($($name:ident = $id:literal;)*) => {
        $(
            #[doc = concat!("Row `", $id, "` of `sources.toml`.")]
            pub const $name: Source = Source($id);
        )*
        /// Every id.
        pub const ALL: &[Source] = &[$($name),*];
    };
}

sources! {
    NIST_SP811 = "nist-sp811";
    ICAO_7488 = "icao-7488";
    NWS_DENSITY_ALTITUDE = "nws-density-altitude";
    DENSITY_ALTITUDE_RULE = "density-altitude-rule";
    CIPM_2007 = "cipm-2007";
    WMO_8 = "wmo-8";
    BUCK_1981 = "buck-1981";
    BUCK_1996 = "buck-1996";
    PHAK_WIND = "phak-wind";
    WIND_ALGEBRA = "wind-algebra";
    KARNEY_2013 = "karney-2013";
    VINCENTY_1975 = "vincenty-1975";
    REDA_ANDREAS_2008 = "reda-andreas-2008";
    ESPENAK_MEEUS = "espenak-meeus";
    USNO_DEFINITIONS = "usno-definitions";
    PHAK_BALANCE = "phak-balance";
    FAA_8083_1 = "faa-8083-1";
    AC_43_13 = "ac-43-13-1b";
    PLANE_GEOMETRY = "plane-geometry";
    PHAK_FUEL = "phak-fuel";
    NAVIGATION_ALGEBRA = "navigation-algebra";
    PHAK_PERFORMANCE = "phak-performance";
    CAT_POL_A_400 = "cat-pol-a-400";
    MPMS_11_1 = "mpms-11-1-1980";
    JET_A1_DENSITY = "def-stan-91-091";
    AVGAS_DENSITY = "avgas-density-practice";
    GUM = "jcgm-100";
    SOLID_GEOMETRY = "solid-geometry";
    STOKES_1851 = "stokes-1851";
    IAPWS_95 = "iapws-95";
    WATER_IN_KEROSENE = "water-in-kerosene";
    GAS_LAW = "gas-law";
    FUEL_ARITHMETIC = "fuel-arithmetic";
    CODATA_2018 = "codata-2018";
    STATIC_CONTROL = "iec-60079-32-1";
    MIL_HDBK_1022 = "mil-hdbk-1022a";
    ELECTROSTATICS = "electrostatics";
    PIPE_FLOW = "pipe-flow";
    HUPPERT_1982 = "huppert-1982";
    EPA_OFFSITE = "epa-550-b-99-009";
    ACTUATOR_DISC = "actuator-disc";
    WHEEL_OVER_STEP = "halliday-resnick";
    CHOCK_STATICS = "chock-statics";
    STEADY_FORCE = "steady-force";
    PEUKERT_1897 = "peukert-1897";
    BATTERY_ANALYSIS = "battery-load-analysis";
    CALC_PROMISE = "stillprop-design";
}
