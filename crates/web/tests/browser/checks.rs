//! What has to hold on every page. A check gives what is wrong, a line each; nothing is well.

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::driver::{Browser, Script};

/// What is said where axe-core is missing.
const FETCH: &str = "axe-core is missing: `cargo xtask test` fetches it, or type \
                     `npm install --no-save --prefix target/npm axe-core@4` at the root of the workspace";

/// Every check that can be made of the page that is open.
pub(crate) fn all(browser: &Browser) -> Vec<String> {
    let mut wrong = console(browser);
    wrong.extend(width(browser));
    wrong.extend(headings(browser));
    if browser.script == Script::On {
        wrong.extend(keyboard(browser));
        wrong.extend(axe(browser));
        // What the checks themselves have put into it.
        browser.console();
    }
    wrong
}

/// Every check of a screen that a script draws; targets are as large as a thumb and words stand out.
pub(crate) fn of_screen(browser: &Browser) -> Vec<String> {
    let mut wrong = console(browser);
    wrong.extend(width(browser));
    wrong.extend(headings(browser));
    wrong.extend(axe(browser));
    wrong.extend(thumbs(browser));
    browser.console();
    wrong
}

/// What is tapped is at least 14 mm high and wide, and words have a contrast of at least 7 to 1.
pub(crate) fn thumbs(browser: &Browser) -> Vec<String> {
    lines(&browser.run(
        "const wrong = [];
         const told = e => e.tagName.toLowerCase() + ' “' + (e.textContent || e.id).trim().slice(0, 30) + '”';
         for (const e of document.querySelectorAll('button, .button, select, textarea, input:not(.unseen):not([type=checkbox])')) {
             const { width, height } = e.getBoundingClientRect();
             if (width > 0 && (width < 52.9 || height < 52.9)) wrong.push(`${told(e)} is ${width.toFixed(1)} by ${height.toFixed(1)} px`);
         }
         const light = c => { const [r, g, b] = c.match(/[\\d.]+/g).map(Number)
             .map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
             return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
         const ground = e => { for (let p = e; p; p = p.parentElement) { const c = getComputedStyle(p).backgroundColor;
             if (!c.endsWith(', 0)')) return c; } return 'rgb(255, 255, 255)'; };
         for (const e of document.querySelectorAll('header *, main *')) {
             if (![...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())) continue;
             const [a, b] = [light(getComputedStyle(e).color), light(ground(e))].sort((x, y) => y - x);
             const ratio = (a + 0.05) / (b + 0.05);
             if (ratio < 7) wrong.push(`${told(e)} has a contrast of ${ratio.toFixed(1)}`);
         }
         return wrong;",
        &[],
    ))
}

/// The console is told nothing.
pub(crate) fn console(browser: &Browser) -> Vec<String> {
    let told = browser.console().into_iter();
    told.map(|told| format!("in the console: {told}")).collect()
}

/// Nothing hangs over the right edge, unless it lies in a box of its own that scrolls.
pub(crate) fn width(browser: &Browser) -> Vec<String> {
    lines(&browser.run(
        "const page = document.scrollingElement;
         if (page.scrollWidth <= innerWidth) return [];
         const boxed = e => { for (let p = e.parentElement; p && p !== document.body; p = p.parentElement)
             if (getComputedStyle(p).overflowX !== 'visible') return true; return false; };
         const over = [...document.body.querySelectorAll('*')]
             .filter(e => e.getBoundingClientRect().right > innerWidth + 0.5 && !boxed(e))
             .map(e => e.outerHTML.slice(0, 120) + ' reaches ' + Math.round(e.getBoundingClientRect().right));
         return [`the page is ${page.scrollWidth} px wide in a window of ${innerWidth} px`, ...over.slice(0, 5)];",
        &[],
    ))
}

/// One first heading, and no level left out on the way down.
pub(crate) fn headings(browser: &Browser) -> Vec<String> {
    lines(&browser.run(
        "const all = [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')];
         const wrong = [];
         const firsts = all.filter(e => e.tagName === 'H1').length;
         if (firsts !== 1) wrong.push(`${firsts} headings of the first level`);
         let level = 0;
         for (const e of all) {
             const next = Number(e.tagName[1]);
             if (next > level + 1) wrong.push(`after level ${level} comes level ${next}: ${e.textContent}`);
             level = next;
         }
         return wrong;",
        &[],
    ))
}

/// The tabulator alone reaches everything that can be used, in the order of the page, and it is seen where one is.
pub(crate) fn keyboard(browser: &Browser) -> Vec<String> {
    let stops = browser.run(
        "const uses = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
         const radios = new Set();
         const all = [...document.querySelectorAll(uses)].filter(e => {
             if (e.disabled || e.tabIndex < 0 || !e.checkVisibility({ visibilityProperty: true })) return false;
             if (e.type !== 'radio') return true;
             const first = !radios.has(e.name); radios.add(e.name); return first;
         });
         const look = e => { const s = getComputedStyle(e);
             return { outline: s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0, shadow: s.boxShadow }; };
         const told = e => e.tagName.toLowerCase() + ' “' +
             (e.textContent || e.name || '').trim().replace(/\\s+/g, ' ').slice(0, 40) + '”';
         document.activeElement.blur();
         const before = all.map(look);
         const reached = new Map(), unseen = [];
         let last = -1; const order = [];
         document.addEventListener('focusin', event => {
             const at = all.indexOf(event.target);
             if (at < 0 || reached.has(at)) return;
             reached.set(at, true);
             if (at < last) order.push(told(event.target) + ' is reached after ' + told(all[last]));
             last = at;
             const now = look(event.target);
             if (!now.outline && now.shadow === before[at].shadow) unseen.push(told(event.target));
         });
         window.keyboardTold = () => [
             ...all.filter((_, at) => !reached.has(at)).map(e => 'the keyboard does not reach ' + told(e)),
             ...order.map(words => 'out of order: ' + words),
             ...unseen.map(words => 'the focus is not seen on ' + words),
         ].slice(0, 12);
         const several = document.querySelectorAll('input[type=date], input[type=time]').length;
         const boxes = [...document.querySelectorAll('main *')].filter(e => e.scrollWidth > e.clientWidth).length;
         return all.length + 3 * several + boxes + 2;",
        &[],
    );
    let stops = stops.as_u64().and_then(|stops| usize::try_from(stops).ok());
    browser.tab(stops.expect("the page counts what can be used"));
    lines(&browser.run("return window.keyboardTold()", &[]))
}

/// What axe-core finds that is serious, each with the places where it found it.
pub(crate) fn axe(browser: &Browser) -> Vec<String> {
    let source = axe_source();
    let found = browser.run_and_wait(
        "const [source, tags, done] = arguments;
         const tell = result => done(result.violations
             .filter(v => v.impact === 'serious' || v.impact === 'critical')
             .map(v => `axe: ${v.id} (${v.impact}): ${v.help}` + v.nodes.slice(0, 4).map(n =>
                 '\\n      ' + n.html.slice(0, 160) + '\\n      ' + n.failureSummary.split('\\n').slice(1).join(' ').trim()
             ).join('') + (v.nodes.length > 4 ? `\\n      and ${v.nodes.length - 4} more` : '')));
         const run = () => window.axe.run(document,
             { runOnly: { type: 'tag', values: tags }, preload: false, resultTypes: ['violations'] })
             .then(tell, error => done(['axe: ' + error]));
         if (!window.axe) eval.call(window, source);
         run();",
        &[
            json!(source),
            json!(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]),
        ],
    );
    lines(&found)
}

fn axe_source() -> String {
    let file = match std::env::var_os("COMBWRIGHT_AXE") {
        Some(named) => PathBuf::from(named),
        None => PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("../../target/npm/node_modules/axe-core/axe.min.js"),
    };
    std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{FETCH} ({}: {error})", file.display()))
}

fn lines(told: &Value) -> Vec<String> {
    let told = told.as_array().expect("a check tells a list");
    told.iter()
        .map(|line| line.as_str().unwrap_or("?").to_owned())
        .collect()
}
