//! Closed vocabularies: one enum, one written word per member.

/// Declares an enum whose members are read and printed as fixed words.
macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$says:meta])* $member:ident = $word:literal,)* }) => {
        $(#[$about])*
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord,
            serde::Deserialize, schemars::JsonSchema,
        )]
        pub enum $name {
            $($(#[$says])* #[serde(rename = $word)] $member,)*
        }

        impl $name {
            /// Every member, in the order it is written here.
            pub const ALL: &'static [Self] = &[$(Self::$member),*];

            /// The word as documents write it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$member => $word,)* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

pub(crate) use words;
