//! From everyday words to an item of the table, or to "not known which".
//!
//! The rule of the search: never a more permissive item than what was meant. Words of a
//! forbidden item count anywhere and in any order, words of another item only side by side;
//! whatever is said beyond what was understood makes the answer unknown. Where two items
//! compete the forbidden one wins, and of two that are not forbidden neither does.

use std::{
    collections::{HashMap, HashSet},
    sync::OnceLock,
};

use stillprop_rules::goods::{Measured, Vocabulary};

use super::said::{self, Said};

/// How strict the tables in force are on an item at their mildest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strictness {
    /// Allowed somewhere, on no condition.
    Free,
    /// Allowed somewhere on conditions.
    Conditional,
    /// Allowed somewhere with an approval.
    Approval,
    /// A table has no row for it.
    NoRow,
    /// Allowed nowhere.
    Forbidden,
}

/// What was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Heard {
    /// The item, or why it is not known.
    pub item: Result<String, Unsure>,
    /// Size of each.
    pub each: Option<Measured>,
    /// How many; `None` when several were said without a number.
    pub count: Option<u32>,
}

/// Why the item is not known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsure {
    /// In words.
    pub why: String,
    /// Short names of the items it may be.
    pub may_be: Vec<String>,
    /// Whichever it is, it is allowed nowhere.
    pub forbidden: bool,
}

/// Longer sayings are not searched: nobody names one thing in so many words.
const MOST_WORDS: usize = 40;

/// A set of places among the words.
type Cover = u64;

/// Words of an item or of a hint.
struct Phrase {
    words: Vec<String>,
    of: Of,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    Item(usize),
    Hint(usize),
}

/// A phrase found in what was said.
struct Match {
    of: Of,
    cover: Cover,
    exact: bool,
    /// Word after word, with only plain words between.
    together: bool,
    words: usize,
}

/// A vocabulary made ready for searching, with how strict the tables in force are.
pub struct Ears {
    vocabulary: &'static Vocabulary,
    index: &'static Index,
    strictness: Vec<Strictness>,
}

/// The words of the vocabulary, to be found quickly. There is one vocabulary, so it is made once.
struct Index {
    phrases: Vec<Phrase>,
    known: HashSet<String>,
    /// Which phrases begin with a word.
    begins: HashMap<String, Vec<usize>>,
    /// Which phrases are a word when theirs are written as one.
    joins: HashMap<String, Vec<usize>>,
    /// The known words by first letter, for slips of the finger.
    by_letter: HashMap<char, Vec<String>>,
    plain: HashSet<String>,
}

impl Index {
    fn of(vocabulary: &Vocabulary) -> Self {
        let mut phrases = Vec::new();
        let items = vocabulary.item.iter().map(|item| &item.words);
        let hints = vocabulary.hint.iter().map(|hint| &hint.words);
        let of = items.enumerate().map(|(index, words)| (Of::Item(index), words));
        let of = of.chain(hints.enumerate().map(|(index, words)| (Of::Hint(index), words)));
        for (of, words) in of {
            phrases.extend(words.iter().map(|text| Phrase { words: words_of(text), of }));
        }
        let (mut begins, mut joins) = (HashMap::new(), HashMap::new());
        for (index, phrase) in phrases.iter().enumerate() {
            let first = phrase.words.first().cloned().unwrap_or_default();
            begins.entry(first).or_insert_with(Vec::new).push(index);
            if phrase.words.len() > 1 {
                joins.entry(phrase.words.concat()).or_insert_with(Vec::new).push(index);
            }
        }
        let own = phrases.iter().flat_map(|phrase| phrase.words.iter());
        let known: HashSet<String> = own.chain(joins.keys()).cloned().collect();
        let mut by_letter: HashMap<char, Vec<String>> = HashMap::new();
        for word in &known {
            let letter = word.chars().next().unwrap_or(' ');
            by_letter.entry(letter).or_default().push(word.clone());
        }
        let plain = vocabulary.plain.iter().cloned().collect();
        Self { phrases, known, begins, joins, by_letter, plain }
    }
}

/// Where a word of the vocabulary was heard.
struct Hit {
    cover: Cover,
    at: usize,
    exact: bool,
    singular: bool,
}

impl Ears {
    /// Makes a vocabulary ready; `strictness` says how strict the tables in force are.
    pub fn new(vocabulary: &'static Vocabulary, strictness: impl Fn(&str) -> Strictness) -> Self {
        static INDEX: OnceLock<Index> = OnceLock::new();
        Self {
            index: INDEX.get_or_init(|| Index::of(vocabulary)),
            strictness: vocabulary.item.iter().map(|item| strictness(&item.id)).collect(),
            vocabulary,
        }
    }

    /// What somebody means.
    #[must_use]
    pub fn hear(&self, text: &str) -> Heard {
        let said = said::cut(text);
        let words: Vec<&str> = said.words.iter().map(|word| word.text.as_str()).collect();
        if words.len() > MOST_WORDS {
            let why = "too many words: name one thing".to_owned();
            let item = Err(Unsure { why, may_be: Vec::new(), forbidden: false });
            return Heard { item, each: said.each, count: said.count };
        }
        let hits = self.hits(&words);
        let (matches, several) = self.matches(&words, &hits);
        let item = self.decide(&said, &words, &matches);
        let item = item.map(|index| self.by_strength(index, said.percent));
        // Each size said is a thing at least.
        let count = match said.count {
            Some(count) => Some(count.max(said.sizes)),
            None => (!several && said.sizes < 2).then_some(1),
        };
        Heard { item, each: said.each, count }
    }

    /// Where each word of the vocabulary was heard.
    fn hits(&self, words: &[&str]) -> HashMap<&str, Vec<Hit>> {
        let mut hits: HashMap<&str, Vec<Hit>> = HashMap::new();
        let mut note = |known, cover, at, exact, singular| {
            hits.entry(known).or_default().push(Hit { cover, at, exact, singular });
        };
        for (at, word) in words.iter().enumerate() {
            let same = self.same(word);
            if same.is_empty() && !self.index.plain.contains(*word) {
                self.near(word).for_each(|known| note(known, 1 << at, at, false, false));
            }
            same.into_iter().for_each(|(known, singular)| note(known, 1 << at, at, true, singular));
            // "hair spray" for "hairspray": two words that are one in the vocabulary.
            if let Some(next) = words.get(at + 1) {
                let joined = self.same(&format!("{word}{next}"));
                joined.into_iter().for_each(|(known, singular)| {
                    note(known, 0b11 << at, at + 1, true, singular);
                });
            }
        }
        hits
    }

    /// The word in the vocabulary, or its singular or plural; true when a plural was said.
    fn same(&self, said: &str) -> Vec<(&str, bool)> {
        let long = |stem: &&str| stem.len() > 2;
        let singular = [
            said.strip_suffix('s').filter(long).map(str::to_owned),
            said.strip_suffix("es").filter(long).map(str::to_owned),
            said.strip_suffix("ies").map(|stem| format!("{stem}y")),
        ];
        let plural = (said.len() > 2).then(|| {
            let stem = said.strip_suffix('y').map(|stem| format!("{stem}ies"));
            [Some(format!("{said}s")), Some(format!("{said}es")), stem]
        });
        let known =
            |word: &str, many| self.index.known.get(word).map(|known| (known.as_str(), many));
        let own = known(said, false);
        let singular = singular.iter().flatten().filter_map(|word| known(word, true));
        let plural = plural.iter().flatten().flatten().filter_map(|word| known(word, false));
        own.into_iter().chain(singular).chain(plural).collect()
    }

    /// Words of the vocabulary that a slip of the finger may have made.
    fn near<'s>(&'s self, said: &str) -> impl Iterator<Item = &'s str> {
        let letters: Vec<char> = said.chars().take(2).collect();
        let said = said.to_owned();
        let words =
            letters.into_iter().filter_map(|letter| self.index.by_letter.get(&letter)).flatten();
        words.map(String::as_str).filter(move |known| near(&said, known))
    }

    /// Every phrase that was heard, without those that a longer one contains; and whether
    /// several of the thing were said.
    fn matches(&self, words: &[&str], hits: &HashMap<&str, Vec<Hit>>) -> (Vec<Match>, bool) {
        let mut matches: Vec<(Match, bool)> = Vec::new();
        for phrase in self.indexed(&self.index.begins, hits) {
            let in_order = self.in_order(phrase, words, hits);
            if in_order.is_none() && self.counts_anywhere(phrase.of) {
                matches.extend(anywhere(phrase, hits));
            }
            matches.extend(in_order);
        }
        for (word, found) in hits {
            for phrase in self.index.joins.get(*word).into_iter().flatten() {
                let of = self.index.phrases[*phrase].of;
                matches.extend(found.iter().map(|hit| {
                    let (cover, exact) = (hit.cover, hit.exact);
                    (Match { of, cover, exact, together: true, words: 2 }, hit.singular)
                }));
            }
        }
        let contained = |one: &Match| {
            matches.iter().any(|(other, _)| {
                let inside = one.cover & other.cover == one.cover && one.cover != other.cover;
                let item_over_hint = one.cover == other.cover
                    && matches!((one.of, other.of), (Of::Hint(_), Of::Item(_)));
                let as_sure = (other.exact || !one.exact) && (other.together || !one.together);
                (inside || item_over_hint) && as_sure
            })
        };
        let keep: Vec<bool> = matches.iter().map(|(one, _)| !contained(one)).collect();
        let kept = matches.into_iter().zip(keep).filter(|(_, keep)| *keep).map(|(one, _)| one);
        let kept: Vec<_> = kept.collect();
        let several = kept.iter().any(|(one, singular)| *singular && matches!(one.of, Of::Item(_)));
        (kept.into_iter().map(|(one, _)| one).collect(), several)
    }

    /// The phrases that an index has for the words that were heard, in their order.
    fn indexed<'s>(
        &'s self,
        index: &'s HashMap<String, Vec<usize>>,
        hits: &HashMap<&str, Vec<Hit>>,
    ) -> impl Iterator<Item = &'s Phrase> {
        let mut found: Vec<usize> =
            hits.keys().filter_map(|word| index.get(*word)).flatten().copied().collect();
        found.sort_unstable();
        found.into_iter().map(|index| &self.index.phrases[index])
    }

    /// Words that count in any order: of what is forbidden, and of hints.
    fn counts_anywhere(&self, of: Of) -> bool {
        match of {
            Of::Item(index) => self.strictness[index] == Strictness::Forbidden,
            Of::Hint(_) => true,
        }
    }

    /// A phrase word after word, with only plain words between.
    fn in_order(
        &self,
        phrase: &Phrase,
        words: &[&str],
        hits: &HashMap<&str, Vec<Hit>>,
    ) -> Option<(Match, bool)> {
        let first = hits.get(phrase.words.first()?.as_str())?;
        let mut whole: Option<(Match, bool)> = None;
        for start in first {
            let (mut cover, mut exact, mut at) = (start.cover, start.exact, start.at);
            let mut singular = start.singular;
            let found = phrase.words.iter().skip(1).all(|word| {
                let Some(hits) = hits.get(word.as_str()) else { return false };
                let begins = |hit: &&Hit| hit.cover.trailing_zeros() as usize > at;
                let Some(hit) = hits.iter().filter(begins).min_by_key(|hit| hit.at) else {
                    return false;
                };
                let starts = hit.cover.trailing_zeros() as usize;
                let between = words.get(at + 1..starts).unwrap_or_default();
                if !between.iter().all(|word| self.index.plain.contains(*word)) {
                    return false;
                }
                (cover, exact, at) = (cover | hit.cover, exact && hit.exact, hit.at);
                singular = hit.singular;
                true
            });
            if found {
                let before = whole.as_ref().map_or(0, |(held, _)| held.cover);
                let exact = exact && whole.as_ref().is_none_or(|(held, _)| held.exact);
                let words = phrase.words.len();
                let cover = cover | before;
                let one = Match { of: phrase.of, cover, exact, together: true, words };
                whole = Some((one, singular));
            }
        }
        whole
    }

    fn decide(&self, said: &Said, words: &[&str], matches: &[Match]) -> Result<usize, Unsure> {
        let covered = matches.iter().fold(0, |cover, one| cover | one.cover);
        let left: Vec<&str> = words
            .iter()
            .enumerate()
            .filter(|(at, word)| covered & (1 << at) == 0 && !self.index.plain.contains(**word))
            .map(|(_, word)| *word)
            .chain(said.unclear.iter().map(String::as_str))
            .collect();
        let understood = left.is_empty();
        let never = |index: &usize| self.strictness[*index] == Strictness::Forbidden;
        let forbidden = self.forbidden(matches, understood);
        if let [one] = forbidden.as_slice() {
            return Ok(*one);
        }
        let items = distinct(matches.iter().filter_map(|one| match one.of {
            Of::Item(index) => Some(index),
            Of::Hint(_) => None,
        }));
        let hints: Vec<usize> = matches
            .iter()
            .filter_map(|one| match one.of {
                Of::Hint(index) => Some(index),
                Of::Item(_) => None,
            })
            .filter(|hint| !items.iter().any(|item| self.agrees(*hint, *item)))
            .collect();
        match (items.as_slice(), hints.as_slice()) {
            // A forbidden one that was certain was returned above.
            ([one], []) if understood && !never(one) => return Ok(*one),
            ([], [hint]) if understood => {
                if let Some(index) = self.only(*hint) {
                    return Ok(index);
                }
            }
            _ => {}
        }
        let may_be = items.into_iter().chain(hints.iter().flat_map(|hint| self.meant(*hint)));
        let may_be = distinct(may_be);
        let why = if !left.is_empty() {
            format!("not understood: {}", left.join(", "))
        } else if may_be.is_empty() {
            "the table has no row for it".to_owned()
        } else {
            "it may be more than one thing: name one, and say which".to_owned()
        };
        let all = understood && !may_be.is_empty() && may_be.iter().all(never);
        let name = |index: usize| self.vocabulary.item[index].id.clone();
        Err(Unsure {
            why,
            may_be: may_be.into_iter().map(name).collect(),
            forbidden: all || !forbidden.is_empty(),
        })
    }

    /// The forbidden items that were named for certain: by words of their own that share none
    /// with anything else, and by more than one word where something was not understood.
    fn forbidden(&self, matches: &[Match], understood: bool) -> Vec<usize> {
        let alone = |one: &Match| {
            matches.iter().all(|other| other.of == one.of || other.cover & one.cover == 0)
        };
        distinct(matches.iter().filter_map(|one| match one.of {
            Of::Item(index) if self.strictness[index] == Strictness::Forbidden => {
                let named = understood || one.words > 1 && one.exact;
                (named && (one.together || alone(one))).then_some(index)
            }
            _ => None,
        }))
    }

    /// A hint that names an item which was said, and nothing stricter.
    fn agrees(&self, hint: usize, item: usize) -> bool {
        let meant: Vec<usize> = self.meant(hint).collect();
        meant.contains(&item)
            && meant.iter().all(|other| self.strictness[*other] <= self.strictness[item])
    }

    /// The item of a hint that names one only, when that is forbidden.
    fn only(&self, hint: usize) -> Option<usize> {
        let meant: Vec<usize> = self.meant(hint).collect();
        match meant.as_slice() {
            [one] if self.strictness[*one] == Strictness::Forbidden => Some(*one),
            _ => None,
        }
    }

    fn meant(&self, hint: usize) -> impl Iterator<Item = usize> + '_ {
        let ids = self.vocabulary.hint.get(hint).map_or(&[][..], |hint| hint.items.as_slice());
        ids.iter().filter_map(|id| self.vocabulary.item.iter().position(|item| item.id == *id))
    }

    /// Of drinks the stronger of what the word and the per cent say.
    fn by_strength(&self, index: usize, percent: Option<f64>) -> String {
        let items = &self.vocabulary.item;
        let (Some(own), Some(percent)) = (items[index].strength_over, percent) else {
            return items[index].id.clone();
        };
        let fits = |item: &&stillprop_rules::goods::Item| {
            item.strength_over.is_some_and(|over| over >= own && over < percent)
        };
        let strongest = items.iter().filter(fits).max_by(|a, b| {
            a.strength_over.unwrap_or(0.0).total_cmp(&b.strength_over.unwrap_or(0.0))
        });
        strongest.unwrap_or(&items[index]).id.clone()
    }
}

/// A phrase whose words were all heard, wherever.
fn anywhere(phrase: &Phrase, hits: &HashMap<&str, Vec<Hit>>) -> Option<(Match, bool)> {
    let (mut cover, mut exact, mut singular) = (0, true, false);
    for word in &phrase.words {
        let found = hits.get(word.as_str())?;
        cover |= found.iter().fold(0, |cover, hit| cover | hit.cover);
        exact &= found.iter().any(|hit| hit.exact);
        singular |= found.iter().any(|hit| hit.singular);
    }
    let words = phrase.words.len();
    Some((Match { of: phrase.of, cover, exact, together: false, words }, singular))
}

fn words_of(text: &str) -> Vec<String> {
    said::cut(text).words.into_iter().map(|word| word.text).collect()
}

fn distinct(of: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut seen = Vec::new();
    of.for_each(|one| {
        if !seen.contains(&one) {
            seen.push(one);
        }
    });
    seen
}

/// A word with a slip of the finger: one in seven letters, two in more. The first letter is
/// right, or swapped with the second.
fn near(said: &str, known: &str) -> bool {
    let letters = said.chars().count().min(known.chars().count());
    let most = match letters {
        0..=3 => return false,
        4..=7 => 1,
        _ => 2,
    };
    let first = |text: &str| (text.chars().next(), text.chars().nth(1));
    let ((a, b), (c, d)) = (first(said), first(known));
    (a == c || a == d && b == c)
        && strsim::osa_distance(said, known) <= most
        && (letters > 4 || same_letters(said, known))
}

/// Four letters are taken only when they were swapped.
fn same_letters(said: &str, known: &str) -> bool {
    let sorted = |text: &str| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.sort_unstable();
        letters
    };
    sorted(said) == sorted(known)
}
