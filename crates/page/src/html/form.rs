//! Forms.
//!
//! A browser's own checks are switched off: whether something fits is told by the books, in one way, with or
//! without the script.

use maud::{Markup, html};

use super::words::words;
use super::{Leaf, ids};
use crate::form::{Button, Choice, Field, Form, Input, Method, Shown};
use crate::reach::safe;

pub(super) fn form(form: &Form, leaf: &mut Leaf<'_>) -> Markup {
    let fields: Vec<(&Field, String)> = form
        .fields
        .iter()
        .map(|field| {
            let id = leaf.ids.give(&format!("field-{}", ids::slug(&field.name)));
            (field, id)
        })
        .collect();
    let (method, kind) = match form.method {
        Method::Get => ("get", None),
        Method::Post => ("post", None),
        Method::Upload => ("post", Some("multipart/form-data")),
    };
    let preview = form.preview.as_deref().and_then(safe);
    html! {
        form method=(method) action=[safe(&form.action)] enctype=[kind] aria-label=(form.name)
            data-preview=[preview] autocomplete="off" novalidate
        {
            (unseen(form, leaf.token))
            (wrong(form, &fields))
            // A note that can be read is not to be looked for below a long form.
            @if form.shown.is_some() { (shown(form.shown.as_ref())) (buttons(&form.buttons)) }
            (groups(&fields))
            @if form.shown.is_none() && preview.is_some() { (shown(None)) }
            @if form.shown.is_some() { (buttons(form.buttons.get(1..).unwrap_or_default())) }
            @else { (buttons(&form.buttons)) }
        }
    }
}

fn unseen(form: &Form, token: &str) -> Markup {
    let asked = match form.method {
        Method::Get => question_of(&form.action),
        Method::Post | Method::Upload => Vec::new(),
    };
    html! {
        @if form.method != Method::Get { input type="hidden" name="token" value=(token); }
        @for (name, value) in asked.iter().chain(&form.hidden) {
            input type="hidden" name=(name) value=(value);
        }
    }
}

/// What an address asks for. A form that asks replaces the question of the address it is sent to, so what
/// shall stay in it has to be sent along.
pub(super) fn question_of(address: &str) -> Vec<(String, String)> {
    let question = address.split('#').next().and_then(|path| path.split_once('?'));
    let pairs = question.map_or("", |(_, question)| question).split('&');
    pairs
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
            (decoded(key), decoded(value))
        })
        .collect()
}

fn decoded(text: &str) -> String {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let [first, behind @ ..] = rest {
        let escaped = match (first, behind) {
            (b'%', [high, low, ..]) => hex(*high).zip(hex(*low)).map(|(high, low)| high * 16 + low),
            _ => None,
        };
        bytes.push(match (escaped, first) {
            (Some(byte), _) => byte,
            (None, b'+') => b' ',
            (None, other) => *other,
        });
        rest = if escaped.is_some() { &behind[2..] } else { behind };
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

fn hex(digit: u8) -> Option<u8> {
    char::from(digit)
        .to_digit(16)
        .and_then(|value| u8::try_from(value).ok())
}

/// What is wrong, above the fields: with the form as a whole, then field by field, each with the way to it.
fn wrong(form: &Form, fields: &[(&Field, String)]) -> Markup {
    let wrong_fields: Vec<_> = fields
        .iter()
        .filter_map(|(field, id)| field.wrong.as_ref().map(|wrong| (field, id, wrong)))
        .collect();
    html! {
        @if !form.wrong.is_empty() || !wrong_fields.is_empty() {
            div.notice.refused role="alert" {
                p { b.tone { "Wrong:" } " " @if let Some(first) = form.wrong.first() { (words(first)) }
                    @else { "not written yet." } }
                @if form.wrong.len() > 1 || !wrong_fields.is_empty() {
                    ul {
                        @for more in form.wrong.iter().skip(1) { li { (words(more)) } }
                        @for (field, id, wrong) in wrong_fields {
                            li { a href={ "#" (id) } { (field.label) } ": " (wrong) }
                        }
                    }
                }
            }
        }
    }
}

/// A heading among the fields holds together those that follow it.
fn groups(fields: &[(&Field, String)]) -> Markup {
    let is_heading = |(field, _): &(&Field, String)| field.input == Input::Heading;
    let first = fields.iter().position(is_heading).unwrap_or(fields.len());
    let (loose, mut rest) = fields.split_at(first);
    let mut groups = Vec::new();
    while let [heading, behind @ ..] = rest {
        let length = behind.iter().position(is_heading).unwrap_or(behind.len());
        let (members, next) = behind.split_at(length);
        groups.push((heading, members));
        rest = next;
    }
    html! {
        @if !loose.is_empty() { div.fields { @for (field, id) in loose { (self::field(field, id)) } } }
        @for ((heading, id), members) in groups {
            fieldset id=(id) aria-describedby=[describedby(heading, id)] {
                legend { (heading.label) }
                (wrong_with(heading, id))
                (hint(heading, id))
                div.fields { @for (field, id) in members { (self::field(field, id)) } }
            }
        }
    }
}

fn field(field: &Field, id: &str) -> Markup {
    let tick = field.input == Input::Tick;
    html! {
        div.field.tick[tick].long[is_long(&field.input)] {
            @if tick { (control(field, id)) }
            label for=(id) { (field.label) @if field.required { " " span.needed { "(needed)" } } }
            (wrong_with(field, id))
            @if !tick { (control(field, id)) }
            (hint(field, id))
        }
    }
}

fn is_long(input: &Input) -> bool {
    matches!(input, Input::Lines { .. } | Input::Tick | Input::File)
}

fn hint(field: &Field, id: &str) -> Markup {
    html! { @if !field.hint.is_empty() { p.hint id={ (id) ".hint" } { (field.hint) } } }
}

fn wrong_with(field: &Field, id: &str) -> Markup {
    html! { @if let Some(wrong) = &field.wrong { p.wrong id={ (id) ".wrong" } { "Wrong: " (wrong) } } }
}

fn describedby(field: &Field, id: &str) -> Option<String> {
    let wrong = field.wrong.is_some().then(|| format!("{id}.wrong"));
    let hint = (!field.hint.is_empty()).then(|| format!("{id}.hint"));
    match (wrong, hint) {
        (Some(wrong), Some(hint)) => Some(format!("{wrong} {hint}")),
        (wrong, hint) => wrong.or(hint),
    }
}

fn control(field: &Field, id: &str) -> Markup {
    let name = &field.name;
    let value = &field.value;
    let described = describedby(field, id);
    let needed = field.required.then_some("true");
    let invalid = field.wrong.as_ref().map(|_| "true");
    html! {
        @match &field.input {
            Input::Line { offered } => {
                @let list = (!offered.is_empty()).then(|| format!("{id}.offered"));
                input id=(id) name=(name) type="text" value=(value) list=[list.as_ref()] autocapitalize="none"
                    spellcheck="false" aria-describedby=[described] aria-required=[needed]
                    aria-invalid=[invalid];
                @if let Some(list) = &list {
                    datalist id=(list) { @for one in offered { option value=(one) {} } }
                }
            }
            Input::Figures => {
                input id=(id) name=(name) type="text" value=(value) inputmode="decimal"
                    aria-describedby=[described] aria-required=[needed] aria-invalid=[invalid];
            }
            Input::Lines { rows } => {
                // A line end right behind the tag is passed over by browsers, so one is put there to be lost.
                textarea id=(id) name=(name) rows=(rows) autocapitalize="none"
                    aria-describedby=[described] aria-required=[needed] aria-invalid=[invalid] { "\n" (value) }
            }
            Input::Choice(choices) => {
                select id=(id) name=(name) aria-describedby=[described] aria-required=[needed]
                    aria-invalid=[invalid]
                { (options(choices, value)) }
            }
            Input::Tick => {
                @let sent = if value.is_empty() { "yes" } else { value };
                input id=(id) name=(name) type="checkbox" value=(sent) checked[!value.is_empty()]
                    aria-describedby=[described] aria-required=[needed] aria-invalid=[invalid];
            }
            Input::File => {
                input id=(id) name=(name) type="file" aria-describedby=[described] aria-required=[needed]
                    aria-invalid=[invalid];
            }
            Input::Heading => {}
        }
    }
}

/// What can be chosen. What was filled in stays, though it be none of these; and where nothing was, nothing
/// is chosen for the reader.
fn options(choices: &[Choice], value: &str) -> Markup {
    let known = choices.iter().any(|choice| choice.value == value);
    html! {
        @if !known { option value=(value) selected { @if value.is_empty() { "—" } @else { (value) } } }
        @for choice in choices {
            option value=(choice.value) selected[choice.value == value] { (choice.text) }
        }
    }
}

/// The note that would be written. The script fills the same place, in the same way.
fn shown(shown: Option<&Shown>) -> Markup {
    html! {
        output.shown aria-live="polite" {
            @if let Some(shown) = shown {
                span.lead { (lead(shown.lines.len())) }
                @for line in &shown.lines { " " code.note { (line) } }
                @for remark in &shown.remarks { " " span.remark { (words(remark)) } }
            }
        }
    }
}

fn lead(lines: usize) -> &'static str {
    if lines == 1 {
        "This note will be written:"
    } else {
        "These notes will be written:"
    }
}

fn buttons(buttons: &[Button]) -> Markup {
    html! {
        @if !buttons.is_empty() {
            div.buttons {
                @for button in buttons {
                    button type="submit" name="press" value=(button.press) { (button.text) }
                }
            }
        }
    }
}
