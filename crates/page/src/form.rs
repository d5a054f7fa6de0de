//! Something to fill in.

use crate::words::Words;

/// A form. Whatever is typed into it comes back in it when it is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Form {
    /// What the form is for; screen readers announce it.
    pub name: String,
    /// Where it is sent to.
    pub action: String,
    /// How.
    pub method: Method,
    /// What is filled in.
    pub fields: Vec<Field>,
    /// What goes with it unseen.
    pub hidden: Vec<(String, String)>,
    /// The note that it would write, once it can be told.
    pub shown: Option<Shown>,
    /// What is wrong with it as a whole.
    pub wrong: Vec<Words>,
    /// What it can be sent with; the first is the one that the return key presses.
    pub buttons: Vec<Button>,
    /// Where a script may ask for the note while the form is being filled in.
    pub preview: Option<String>,
}

/// How a form is sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// It asks; the answer has an address of its own.
    Get,
    /// It may write.
    Post,
    /// It may write, and carries a file.
    Upload,
}

/// One thing to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its key.
    pub name: String,
    /// What it is called on the page.
    pub label: String,
    /// How it is filled in.
    pub input: Input,
    /// What is filled in.
    pub value: String,
    /// What fits, with an example.
    pub hint: String,
    /// It cannot be left out.
    pub required: bool,
    /// What is wrong with it.
    pub wrong: Option<String>,
}

/// How a field is filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// One line; what may be meant is offered.
    Line {
        /// Offered while typing; anything else may be typed too.
        offered: Vec<String>,
    },
    /// One line of figures: a number pad where there is one.
    Figures,
    /// Several lines.
    Lines {
        /// How many are seen.
        rows: u8,
    },
    /// One of these.
    Choice(Vec<Choice>),
    /// Yes, if its value is not empty.
    Tick,
    /// A file.
    File,
    /// A heading over the fields that follow, with nothing to fill in itself.
    Heading,
}

/// One of several to choose from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub text: String,
}

/// The note that a form would write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The note, a line each.
    pub lines: Vec<String>,
    /// What is unusual about it.
    pub remarks: Vec<Words>,
}

/// Something to press.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Button {
    /// What is sent under the key `press`.
    pub press: String,
    /// What is read on it.
    pub text: String,
}

impl Form {
    /// An empty form that may write.
    pub fn post(name: impl Into<String>, action: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            action: action.into(),
            method: Method::Post,
            fields: Vec::new(),
            hidden: Vec::new(),
            shown: None,
            wrong: Vec::new(),
            buttons: Vec::new(),
            preview: None,
        }
    }

    /// An empty form that asks.
    pub fn get(name: impl Into<String>, action: impl Into<String>) -> Self {
        Self {
            method: Method::Get,
            ..Self::post(name, action)
        }
    }

    /// With one more field.
    #[must_use]
    pub fn field(mut self, field: Field) -> Self {
        self.fields.push(field);
        self
    }

    /// With something unseen.
    #[must_use]
    pub fn hidden(mut self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.hidden.push((name.into(), value.into()));
        self
    }

    /// With one more button.
    #[must_use]
    pub fn button(mut self, press: impl Into<String>, text: impl Into<String>) -> Self {
        self.buttons.push(Button {
            press: press.into(),
            text: text.into(),
        });
        self
    }
}

impl Field {
    /// An empty field of one line.
    pub fn line(name: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            label: label.into(),
            input: Input::Line { offered: Vec::new() },
            value: String::new(),
            hint: String::new(),
            required: false,
            wrong: None,
        }
    }

    /// A field that is filled in another way.
    #[must_use]
    pub fn input(mut self, input: Input) -> Self {
        self.input = input;
        self
    }

    /// With this filled in.
    #[must_use]
    pub fn value(mut self, value: impl Into<String>) -> Self {
        self.value = value.into();
        self
    }

    /// With what fits.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// That cannot be left out.
    #[must_use]
    pub fn required(mut self) -> Self {
        self.required = true;
        self
    }
}
