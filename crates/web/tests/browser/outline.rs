//! A page as a reviewer reads it: what it says, what can be filled in, where it leads; nothing of how it looks.
//!
//! It is taken from the page as it is served, so whatever stands in it stands in the document without a script.

use scraper::{ElementRef, Html, Node, Selector};

/// Rows and items beyond these are only counted.
const MOST_ROWS: usize = 6;

/// Columns of a table beyond this many letters are cut.
const WIDEST: usize = 60;

/// Hidden fields that are another on every run, or follow from the address.
const UNTOLD: &[&str] = &["token", "once", "entries", "shown", "back"];

/// The outline of a document.
pub(crate) fn outline(path: &str, document: &str) -> String {
    let document = Html::parse_document(document);
    let title = one(document.root_element(), "title")
        .map(text)
        .unwrap_or_default();
    let mut out = Outline::default();
    out.say(0, "PAGE", &format!("{title}   {path}"));
    out.walk(document.root_element(), 0);
    let mut lines: Vec<&str> = out.lines.iter().map(|line| line.trim_end()).collect();
    lines.dedup_by(|next, last| next.is_empty() && last.is_empty());
    lines.join("\n") + "\n"
}

#[derive(Default)]
struct Outline {
    lines: Vec<String>,
}

impl Outline {
    fn say(&mut self, depth: usize, word: &str, what: &str) {
        self.lines.push(format!("{}{word:<5} {what}", "  ".repeat(depth)));
    }

    fn walk(&mut self, element: ElementRef<'_>, depth: usize) {
        for child in element.child_elements() {
            self.tell(child, depth);
        }
    }

    fn tell(&mut self, element: ElementRef<'_>, depth: usize) {
        match element.value().name() {
            "head" | "script" => {}
            "a" if has(element, "skip") => {}
            "nav" => self.nav(element, depth),
            heading @ ("h1" | "h2" | "h3" | "h4" | "h5" | "h6") => {
                self.say(depth, heading, &words(element));
            }
            "table" => self.table(element, depth),
            "form" => self.form(element, depth),
            "svg" => self.drawing(element, depth),
            "details" => {
                let summary = one(element, "summary").map(words).unwrap_or_default();
                self.say(depth, "fold", &summary);
                if let Some(folded) = one(element, ".folded") {
                    self.walk(folded, depth + 1);
                }
            }
            "ul" | "ol" | "dl" => self.list(element, depth),
            "div" if has(element, "notice") => self.notice(element, depth),
            "div" if has(element, "line-box") => self.say(depth, "line", "a note can be typed here"),
            "div" if has(element, "gallery") => self.gallery(element, depth),
            "p" | "figcaption" => {
                let word = match element.value().classes().next() {
                    Some("foot" | "books") => element.value().classes().next().unwrap_or_default(),
                    Some("address") => return,
                    _ => "text",
                };
                self.say(depth, word, &words(element));
            }
            _ => self.walk(element, depth),
        }
    }

    fn nav(&mut self, nav: ElementRef<'_>, depth: usize) {
        let name = match nav.value().attr("aria-label") {
            Some("Pages") | None => "nav".to_owned(),
            Some(name) => name.to_lowercase(),
        };
        let links = all(nav, "a").into_iter().map(|link| {
            let here = if link.value().attr("aria-current").is_some() {
                "*"
            } else {
                ""
            };
            format!("{here}{}", words(link))
        });
        let said: Vec<String> = all(nav, "span.shown-day, nav.pager > span")
            .into_iter()
            .map(words)
            .collect();
        let told: Vec<String> = said.into_iter().chain(links).collect();
        self.say(depth, &name, &told.join(" · "));
        // The form that asks for another day is the same on every page.
    }

    fn notice(&mut self, notice: ElementRef<'_>, depth: usize) {
        let role = notice.value().attr("role").unwrap_or("no role");
        let says = one(notice, "p").map(words).unwrap_or_default();
        self.say(depth, "note", &format!("! {says} ({role})"));
        for list in all(notice, "ul") {
            self.list(list, depth + 1);
        }
    }

    fn list(&mut self, list: ElementRef<'_>, depth: usize) {
        let mut items: Vec<String> = Vec::new();
        for item in list.descendent_elements() {
            match item.value().name() {
                "li" | "dt" => items.push(words(item)),
                "dd" => {
                    let name = items.pop().unwrap_or_default();
                    items.push(format!("{name}: {}", words(item)));
                }
                _ => {}
            }
        }
        let most = if list.value().name() == "dl" {
            usize::MAX
        } else {
            MOST_ROWS
        };
        for item in items.iter().take(most) {
            self.say(depth, "-", item);
        }
        self.more(depth, items.len().saturating_sub(most), "more");
    }

    fn more(&mut self, depth: usize, more: usize, what: &str) {
        if more > 0 {
            self.say(depth, "…", &format!("{more} {what}"));
        }
    }

    fn drawing(&mut self, drawing: ElementRef<'_>, depth: usize) {
        let title = one(drawing, "title").map(text).unwrap_or_default();
        let says = one(drawing, "desc").map(text).unwrap_or_default();
        let links: Vec<String> = all(drawing, "a").into_iter().filter_map(address).collect();
        self.say(depth, "drawn", &format!("{title}: {says}"));
        if let Some(first) = links.first() {
            self.say(
                depth + 1,
                "leads",
                &format!("to {first} and {} more", links.len() - 1),
            );
        }
    }

    fn gallery(&mut self, gallery: ElementRef<'_>, depth: usize) {
        let drawings: Vec<ElementRef<'_>> = all(gallery, "svg");
        for drawing in drawings.iter().take(MOST_ROWS) {
            self.drawing(*drawing, depth);
        }
        self.more(depth, drawings.len().saturating_sub(MOST_ROWS), "more drawings");
    }

    fn table(&mut self, table: ElementRef<'_>, depth: usize) {
        let caption = one(table, "caption").map(text).unwrap_or_default();
        let rows: Vec<ElementRef<'_>> = all(table, "tbody > tr");
        self.say(depth, "table", &format!("\"{caption}\""));
        let cells = |row: ElementRef<'_>| -> Vec<String> {
            row.child_elements().map(|cell| cut(&text(cell))).collect()
        };
        let mut shown: Vec<Vec<String>> = all(table, "thead > tr").into_iter().map(cells).collect();
        shown.extend(rows.iter().take(MOST_ROWS).map(|row| cells(*row)));
        let columns = shown.iter().map(Vec::len).max().unwrap_or(0);
        let width = |column: usize| {
            let cells = shown.iter().filter_map(|row| row.get(column));
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(width).collect();
        let figures: Vec<bool> = all(table, "thead th")
            .into_iter()
            .map(|cell| has(cell, "figures"))
            .collect();
        for row in &shown {
            let cells = row
                .iter()
                .zip(&widths)
                .zip(&figures)
                .map(|((cell, width), figures)| {
                    if *figures {
                        format!("{cell:>width$}")
                    } else {
                        format!("{cell:<width$}")
                    }
                });
            let line: Vec<String> = cells.collect();
            self.lines
                .push(format!("{}      {}", "  ".repeat(depth), line.join("  ")));
        }
        self.more(depth, rows.len().saturating_sub(MOST_ROWS), "more rows");
        let links: Vec<String> = rows
            .first()
            .into_iter()
            .flat_map(|row| all(*row, "a"))
            .map(words)
            .collect();
        if !links.is_empty() {
            self.say(depth, "leads", &format!("first row: {}", links.join(" · ")));
        }
    }

    fn form(&mut self, form: ElementRef<'_>, depth: usize) {
        let name = form.value().attr("aria-label").unwrap_or("(no name)");
        let method = form.value().attr("method").unwrap_or("get").to_uppercase();
        let action = form.value().attr("action").unwrap_or("(here)");
        self.say(depth, "form", &format!("\"{name}\" {method} {action}"));
        for part in form.descendent_elements() {
            match part.value().name() {
                "input" | "textarea" | "select" => self.field(form, part, depth + 1),
                "legend" => self.say(depth + 1, "over", &text(part)),
                "button" => self.say(depth + 1, &format!("[{}]", text(part)), ""),
                "output" if !text(part).is_empty() => self.say(depth + 1, "shown", &words(part)),
                "div" if has(part, "notice") => self.notice(part, depth + 1),
                _ => {}
            }
        }
    }

    fn field(&mut self, form: ElementRef<'_>, field: ElementRef<'_>, depth: usize) {
        let attr = |name| field.value().attr(name);
        let name = attr("name").unwrap_or_default();
        let kind = match field.value().name() {
            "input" => attr("type").unwrap_or("text"),
            other => other,
        };
        if kind == "hidden" {
            if !UNTOLD.contains(&name) {
                let value = attr("value").unwrap_or_default();
                self.say(depth, "with", &format!("{name} = \"{value}\""));
            }
            return;
        }
        let label = attr("id").and_then(|id| one(form, &format!("label[for=\"{id}\"]")));
        let label = label.map_or_else(|| "(no label)".to_owned(), text);
        let value = match kind {
            "select" => {
                let options = all(field, "option").into_iter().map(|option| {
                    let mark = if option.value().attr("selected").is_some() {
                        "*"
                    } else {
                        ""
                    };
                    format!("{mark}{}", text(option))
                });
                options.collect::<Vec<String>>().join(" | ")
            }
            "checkbox" if attr("checked").is_some() => "ticked".to_owned(),
            "checkbox" => "not ticked".to_owned(),
            "textarea" => format!("\"{}\"", text(field)),
            _ => format!("\"{}\"", attr("value").unwrap_or_default()),
        };
        let list = attr("list").map_or("", |_| "  offers names");
        let wrong = attr("aria-invalid").map_or("", |_| "  WRONG");
        self.lines.push(format!(
            "{}{label} : {kind} {name} = {value}{list}{wrong}",
            "  ".repeat(depth)
        ));
    }
}

fn has(element: ElementRef<'_>, class: &str) -> bool {
    element.value().classes().any(|own| own == class)
}

fn all<'a>(element: ElementRef<'a>, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).unwrap_or_else(|error| panic!("{selector}: {error}"));
    element.select(&selector).collect()
}

fn one<'a>(element: ElementRef<'a>, selector: &str) -> Option<ElementRef<'a>> {
    all(element, selector).into_iter().next()
}

fn address(link: ElementRef<'_>) -> Option<String> {
    let attr = |name| link.value().attr(name);
    attr("href").or_else(|| attr("xlink:href")).map(known)
}

/// An address without what is another on every run.
fn known(address: &str) -> String {
    match address.split_once("done=") {
        Some((before, _)) => format!("{before}done=…"),
        None => address.to_owned(),
    }
}

/// The words of an element, with single spaces.
fn text(element: ElementRef<'_>) -> String {
    let all: String = element.text().collect();
    all.split([' ', '\n', '\t'])
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The words of an element, each link with where it leads.
fn words(element: ElementRef<'_>) -> String {
    let mut out = String::new();
    put_words(element, &mut out);
    out.split([' ', '\n', '\t'])
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

fn put_words(element: ElementRef<'_>, out: &mut String) {
    for child in element.children() {
        match child.value() {
            Node::Text(text) => out.push_str(text),
            Node::Element(_) => {
                let child = ElementRef::wrap(child).expect("an element is one");
                // Within a list item a list tells its own items.
                if !matches!(child.value().name(), "ul" | "ol" | "script") {
                    put_words(child, out);
                }
            }
            _ => {}
        }
    }
    if let Some(address) = address(element).filter(|_| element.value().name() == "a") {
        out.push_str(&format!(" → {address}"));
    }
}

fn cut(text: &str) -> String {
    if text.chars().count() <= WIDEST {
        return text.to_owned();
    }
    text.chars().take(WIDEST - 1).chain(['…']).collect()
}
