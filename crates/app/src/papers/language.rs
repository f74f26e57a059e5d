//! The sentences of the briefing in each language, by `fluent`.

use clap::ValueEnum;
use fluent_bundle::{FluentArgs, FluentBundle, FluentResource};

use crate::problem::Failure;

/// A language of the briefing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Language {
    /// English
    #[default]
    En,
    /// French
    Fr,
    /// Spanish
    Es,
    /// Portuguese
    Pt,
    /// Arabic, from right to left
    Ar,
}

impl Language {
    /// Its BCP 47 tag.
    pub(crate) const fn tag(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Fr => "fr",
            Self::Es => "es",
            Self::Pt => "pt",
            Self::Ar => "ar",
        }
    }

    /// Its name for those who read it.
    pub(crate) const fn own_name(self) -> &'static str {
        match self {
            Self::En => "English",
            Self::Fr => "français",
            Self::Es => "español",
            Self::Pt => "português",
            Self::Ar => "العربية",
        }
    }

    const fn text(self) -> &'static str {
        match self {
            Self::En => include_str!("../../lang/en.ftl"),
            Self::Fr => include_str!("../../lang/fr.ftl"),
            Self::Es => include_str!("../../lang/es.ftl"),
            Self::Pt => include_str!("../../lang/pt.ftl"),
            Self::Ar => include_str!("../../lang/ar.ftl"),
        }
    }
}

/// The sentences of one language.
pub(crate) struct Words {
    bundle: FluentBundle<FluentResource>,
    /// Names that were asked for and are not there, or could not be filled.
    pub(crate) missing: Vec<String>,
}

impl Words {
    /// The sentences, read.
    pub(crate) fn of(language: Language) -> Result<Self, Failure> {
        let broken = |what: String| {
            let message = format!("the language {} cannot be read: {what}", language.tag());
            Failure::asked(message, "report this, and print it in another language")
        };
        let tag = language.tag().parse().map_err(|error| broken(format!("{error}")))?;
        let mut bundle = FluentBundle::new(vec![tag]);
        // Names in Latin letters within Arabic keep their own direction by the isolates that
        // fluent puts around them; elsewhere nothing turns.
        bundle.set_use_isolating(language == Language::Ar);
        let resource = FluentResource::try_new(language.text().to_owned())
            .map_err(|(_, errors)| broken(format!("{errors:?}")))?;
        bundle.add_resource(resource).map_err(|errors| broken(format!("{errors:?}")))?;
        Ok(Self { bundle, missing: Vec::new() })
    }

    /// A sentence with what stands in it. One that is missing shows its name, and is kept.
    pub(crate) fn say(&mut self, name: &str, with: &[(&str, String)]) -> String {
        let mut arguments = FluentArgs::new();
        for (key, value) in with {
            arguments.set(*key, value.as_str());
        }
        let mut errors = Vec::new();
        let pattern = self.bundle.get_message(name).and_then(|message| message.value());
        let said = pattern.map(|pattern| {
            self.bundle.format_pattern(pattern, Some(&arguments), &mut errors).into_owned()
        });
        match said {
            Some(said) if errors.is_empty() => said,
            _ => {
                self.missing.push(name.to_owned());
                name.to_owned()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use stillprop_turnaround::briefing::{CARDS, Item, SENTENCES};

    use super::*;
    use crate::papers::briefing::{FRAME, title_of};

    /// Names of the file, and the variables of each.
    fn names(language: Language) -> BTreeSet<(String, BTreeSet<String>)> {
        let lines = language.text().lines().filter_map(|line| line.split_once(" = "));
        let variables = |text: &str| -> BTreeSet<String> {
            text.split("{$")
                .skip(1)
                .filter_map(|rest| Some(rest.split_once('}')?.0.into()))
                .collect()
        };
        lines.map(|(name, text)| (name.to_owned(), variables(text))).collect()
    }

    #[test]
    fn every_language_has_every_sentence_with_the_same_things_in_it_and_no_other() {
        let english = names(Language::En);
        let titles: Vec<String> = Item::ALL.iter().map(|item| title_of(*item)).collect();
        let wanted: BTreeSet<&str> = SENTENCES
            .iter()
            .copied()
            .chain(FRAME.iter().copied())
            .chain(titles.iter().map(String::as_str))
            .collect();
        let there: BTreeSet<&str> = english.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(there, wanted);
        for language in Language::value_variants() {
            assert_eq!(names(*language), english, "{language:?}");
        }
    }

    #[test]
    fn there_is_a_card_in_each_language_that_the_briefing_says_there_is_one_in() {
        let tags: Vec<&str> = Language::value_variants().iter().map(|it| it.tag()).collect();
        let cards: Vec<&str> = CARDS.iter().map(|names| names[0]).collect();
        assert_eq!(tags, cards);
    }

    #[test]
    fn no_sign_of_any_sentence_is_missing_from_the_letters() {
        for language in Language::value_variants() {
            let lacking: BTreeSet<char> = language
                .text()
                .chars()
                .filter(|sign| *sign != '\n' && !stillprop_papers::covers(*sign))
                .collect();
            assert!(lacking.is_empty(), "{language:?}: {lacking:?}");
        }
    }

    #[test]
    fn every_sentence_is_said_in_every_language() {
        let all: Vec<(&str, String)> = [
            "place", "length", "seats", "doors", "how", "child", "by", "exits", "person", "helper",
            "language",
        ]
        .map(|name| (name, "VALUE".to_owned()))
        .to_vec();
        for language in Language::value_variants() {
            let mut words = Words::of(*language).unwrap();
            for (name, variables) in names(Language::En) {
                let said = words.say(&name, &all);
                // A name may stand there twice: the child of `need-child`.
                let different = variables.iter().all(|_| said.contains("VALUE"));
                let count = said.matches("VALUE").count();
                let enough =
                    if name == "need-child" { count == 3 } else { count == variables.len() };
                assert!(different && enough, "{language:?} {name}: {said}");
            }
            assert!(words.missing.is_empty(), "{:?}", words.missing);
        }
    }
}
