//! A deserializer that takes a table only where it is written as a table.
//!
//! What `serde` derives for a table also takes a list, value by value in the order of the
//! keys, and leaves what is too many unread. Nobody would see which value became which key,
//! so a list in the place of a table is refused here, at any depth.

use std::fmt;

use serde::{
    Deserializer,
    de::{DeserializeSeed, EnumAccess, Error as _, MapAccess, SeqAccess, Unexpected, Visitor},
};

/// Hands everything on, and itself to whatever lies inside.
pub(crate) struct Strict<T>(pub(crate) T);

/// The visitor behind a [`Strict`]; `table` when it waits for one.
struct Waiting<V> {
    visitor: V,
    table: bool,
}

/// Methods that differ in nothing but their name and arguments.
macro_rules! hand_on {
    ($($method:ident($($argument:ident: $of:ty),*);)*) => {$(
        fn $method<V: Visitor<'de>>(
            self,
            $($argument: $of,)*
            visitor: V,
        ) -> Result<V::Value, Self::Error> {
            self.0.$method($($argument,)* Waiting { visitor, table: false })
        }
    )*};
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Strict<D> {
    type Error = D::Error;

    hand_on! {
        deserialize_any();
        deserialize_bool();
        deserialize_i8();
        deserialize_i16();
        deserialize_i32();
        deserialize_i64();
        deserialize_u8();
        deserialize_u16();
        deserialize_u32();
        deserialize_u64();
        deserialize_f32();
        deserialize_f64();
        deserialize_char();
        deserialize_str();
        deserialize_string();
        deserialize_bytes();
        deserialize_byte_buf();
        deserialize_option();
        deserialize_unit();
        deserialize_unit_struct(name: &'static str);
        deserialize_newtype_struct(name: &'static str);
        deserialize_seq();
        deserialize_tuple(len: usize);
        deserialize_tuple_struct(name: &'static str, len: usize);
        deserialize_map();
        deserialize_enum(name: &'static str, variants: &'static [&'static str]);
        deserialize_identifier();
        deserialize_ignored_any();
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        self.0.deserialize_struct(name, fields, Waiting { visitor, table: true })
    }
}

/// Values that hold nothing inside.
macro_rules! plain {
    ($($method:ident($of:ty);)*) => {$(
        fn $method<E: serde::de::Error>(self, value: $of) -> Result<Self::Value, E> {
            self.visitor.$method(value)
        }
    )*};
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Waiting<V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.visitor.expecting(f)
    }

    plain! {
        visit_bool(bool);
        visit_i64(i64);
        visit_i128(i128);
        visit_u64(u64);
        visit_u128(u128);
        visit_f64(f64);
        visit_char(char);
        visit_str(&str);
        visit_borrowed_str(&'de str);
        visit_string(String);
        visit_bytes(&[u8]);
        visit_borrowed_bytes(&'de [u8]);
        visit_byte_buf(Vec<u8>);
    }

    fn visit_none<E: serde::de::Error>(self) -> Result<Self::Value, E> {
        self.visitor.visit_none()
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<Self::Value, E> {
        self.visitor.visit_unit()
    }

    fn visit_some<D: Deserializer<'de>>(self, inside: D) -> Result<Self::Value, D::Error> {
        self.visitor.visit_some(Strict(inside))
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(
        self,
        inside: D,
    ) -> Result<Self::Value, D::Error> {
        self.visitor.visit_newtype_struct(Strict(inside))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, entries: A) -> Result<Self::Value, A::Error> {
        if self.table {
            return Err(A::Error::invalid_type(Unexpected::Seq, &self));
        }
        self.visitor.visit_seq(Strict(entries))
    }

    fn visit_map<A: MapAccess<'de>>(self, entries: A) -> Result<Self::Value, A::Error> {
        self.visitor.visit_map(Strict(entries))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, word: A) -> Result<Self::Value, A::Error> {
        // Every choice in our documents is a plain word with nothing inside.
        self.visitor.visit_enum(word)
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Strict<A> {
    type Error = A::Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, A::Error> {
        self.0.next_element_seed(Strict(seed))
    }

    fn size_hint(&self) -> Option<usize> {
        self.0.size_hint()
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Strict<A> {
    type Error = A::Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, A::Error> {
        self.0.next_key_seed(seed)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, A::Error> {
        self.0.next_value_seed(Strict(seed))
    }

    fn size_hint(&self) -> Option<usize> {
        self.0.size_hint()
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Strict<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<S::Value, D::Error> {
        self.0.deserialize(Strict(deserializer))
    }
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use crate::document::{At, read};

    #[derive(Debug, Deserialize, PartialEq)]
    struct Pair {
        a: u8,
        b: Option<At<u8>>,
    }

    #[derive(Debug, Deserialize, PartialEq)]
    struct Whole {
        inside: Pair,
        #[serde(default)]
        list: Vec<At<Pair>>,
        #[serde(default)]
        numbers: Vec<Vec<u8>>,
    }

    #[test]
    fn tables_and_lists_are_read_as_they_are_written() {
        let text = "inside = { a = 1, b = 2 }\nlist = [{ a = 3 }]\nnumbers = [[4], [5, 6]]";
        let whole: Whole = read(text).unwrap();
        assert_eq!(whole.inside, Pair { a: 1, b: Some(At { value: 2, at: 22..23 }) });
        assert_eq!(whole.list, [At { value: Pair { a: 3, b: None }, at: 34..43 }]);
        assert_eq!(whole.numbers, [vec![4], vec![5, 6]]);
    }

    #[test]
    fn a_list_in_the_place_of_a_table_is_refused_at_any_depth() {
        for (text, place) in [
            ("inside = [1, 2]", "[1, 2]"),
            ("inside = [1, 2, 3]", "[1, 2, 3]"),
            ("inside = { a = 1 }\nlist = [[3, 4]]", "[3, 4]"),
        ] {
            let problem = read::<Whole>(text).unwrap_err();
            assert_eq!(&text[problem.at.clone()], place, "{}", problem.message);
            assert_eq!(problem.message, "a list stands where a table is meant");
        }
    }
}
