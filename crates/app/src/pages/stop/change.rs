//! The form that changes a stop. Everything in it works without scripts.

use maud::{Markup, html};

use super::StopPage;
use crate::{
    edit::stop::{Field, Group, Sort},
    pages::bits::{Input, encoded},
};

impl StopPage<'_> {
    /// The form.
    pub(super) fn change(&self) -> Markup {
        let name = encoded(self.name);
        html! {
            section aria-labelledby="change" {
                h2 id="change" { "Change something" }
                p { "Work it out as often as you like. Saving writes a new version; what is saved now stays." }
                // It records, so it carries the token of such forms; to work out is only to look.
                form.change method="post" action={ "/save/stop/" (name) } data-part={ "/part/stop/" (name) } {
                    @for group in &self.groups { (self.group(group)) }
                    p.buttons {
                        button formmethod="get" formaction={ "/stop/" (name) } { "Work it out" }
                        button { "Save as a new version" }
                    }
                }
            }
        }
    }

    fn group(&self, group: &Group) -> Markup {
        let fields = html! {
            div.fields {
                @for field in &group.fields { (self.field(field)) }
                @if let Some(away) = &group.away {
                    div.field {
                        label { input type="checkbox" name=(away) checked[self.left_out.contains(away)]; " leave out" }
                    }
                }
            }
        };
        html! { fieldset { legend { (group.title) } (fields) } }
    }

    fn field(&self, field: &Field) -> Markup {
        let error = self.errors.iter().find(|(name, _)| name.as_ref() == Some(&field.name));
        let input = Input {
            name: &field.name,
            label: field.label,
            value: &field.value,
            mode: None,
            required: false,
            hint: "",
            error: error.map(|(_, told)| told.message.as_str()),
        };
        let first = self.first_wrong() == Some(field.name.as_str());
        let same = |all: &[String]| all.iter().map(|one| (one.clone(), one.clone())).collect();
        let none = || (String::new(), "-".to_owned());
        let mut of: Vec<(String, String)> = match &field.sort {
            Sort::Text => return input.of("text", first),
            Sort::Time => return input.of("datetime-local", first),
            Sort::Seat => same(&self.choices.seats),
            Sort::Place => same(&self.choices.places),
            Sort::Direction => same(&self.choices.directions),
            Sort::OneOf(words) => {
                words.iter().map(|word| ((*word).to_owned(), (*word).to_owned())).collect()
            }
        };
        if field.sort == Sort::Seat || field.value.is_empty() {
            of.insert(0, none());
        }
        input.among(&of, first)
    }

    /// The field to begin mending at, in the order of the form.
    fn first_wrong(&self) -> Option<&str> {
        let fields = self.groups.iter().flat_map(|group| &group.fields);
        let wrong = |field: &&Field| {
            self.errors.iter().any(|(name, _)| name.as_deref() == Some(field.name.as_str()))
        };
        fields.into_iter().find(wrong).map(|field| field.name.as_str())
    }
}
