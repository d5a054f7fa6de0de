//! What the workspace stands on: licences, reasons for each dependency, and the arrows between crates.

mod arrows;
mod spdx;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::process::Command;

use anyhow::{Context as _, Result, bail};
use serde_json::Value;

use crate::root;

const REASONS: &str = "decisions/dependencies.md";

/// Checks all three, and tells everything that is wrong at once.
pub(crate) fn check() -> Result<()> {
    let graph = Graph::of(&metadata()?)?;
    let deny = read("deny.toml")?;
    let allowed = allowed_licences(&deny);
    if allowed.is_empty() {
        bail!("deny.toml allows no licence");
    }
    let mut wrong = foreign_licences(&graph, &allowed);
    wrong.extend(without_reason(&graph, &read(REASONS)?));
    wrong.extend(arrows::upward(&graph));
    if !wrong.is_empty() {
        bail!("{}", wrong.join("\n"));
    }
    println!(
        "{} packages, all under licences that deny.toml allows; every dependency has its reason; all arrows go downwards.",
        graph.licences.len()
    );
    Ok(())
}

/// What `cargo metadata` tells, cut down to what is checked.
#[derive(Debug, Default)]
struct Graph {
    /// Each package with its version, and its licence if it states one.
    licences: BTreeMap<String, Option<String>>,
    /// Our crates and what each one's manifest names.
    members: BTreeMap<String, Vec<Dependency>>,
}

/// A line of one of our manifests.
#[derive(Debug)]
struct Dependency {
    name: String,
    /// Only for its tests and examples.
    only_tests: bool,
}

impl Graph {
    fn of(metadata: &Value) -> Result<Self> {
        let ours: BTreeSet<&str> = list(metadata, "workspace_members")?
            .iter()
            .filter_map(Value::as_str)
            .collect();
        let mut graph = Self::default();
        for package in list(metadata, "packages")? {
            let name = text(package, "name")?;
            let licence = package["license"].as_str().map(str::to_owned);
            graph
                .licences
                .insert(format!("{name} {}", text(package, "version")?), licence);
            if ours.contains(text(package, "id")?) {
                let named = list(package, "dependencies")?
                    .iter()
                    .map(Dependency::of)
                    .collect::<Result<_>>()?;
                graph.members.insert(name.to_owned(), named);
            }
        }
        Ok(graph)
    }
}

impl Dependency {
    fn of(line: &Value) -> Result<Self> {
        Ok(Self {
            name: text(line, "name")?.to_owned(),
            only_tests: line["kind"] == "dev",
        })
    }
}

fn list<'a>(of: &'a Value, key: &str) -> Result<&'a Vec<Value>> {
    of[key]
        .as_array()
        .with_context(|| format!("cargo metadata tells no {key}"))
}

fn text<'a>(of: &'a Value, key: &str) -> Result<&'a str> {
    of[key]
        .as_str()
        .with_context(|| format!("cargo metadata tells no {key}"))
}

/// What cargo knows of the packages that are built on this machine.
fn metadata() -> Result<Value> {
    let rustc = output("rustc", &["-vV"])?;
    let host = rustc
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .context("rustc tells no host")?;
    let asked = ["metadata", "--format-version", "1", "--filter-platform", host];
    serde_json::from_str(&output("cargo", &asked)?).context("cargo metadata is no JSON")
}

fn output(program: &str, arguments: &[&str]) -> Result<String> {
    let ran = Command::new(program).args(arguments).current_dir(root()).output();
    let ran = ran.with_context(|| format!("{program} could not be started"))?;
    if !ran.status.success() {
        bail!(
            "{program} {} failed: {}",
            arguments.join(" "),
            String::from_utf8_lossy(&ran.stderr).trim()
        );
    }
    String::from_utf8(ran.stdout).with_context(|| format!("{program} did not print text"))
}

fn read(path: &str) -> Result<String> {
    fs::read_to_string(root().join(path)).with_context(|| format!("{path} cannot be read"))
}

/// The quoted names of `allow = [ … ]` in the section `[licenses]`.
fn allowed_licences(deny: &str) -> BTreeSet<&str> {
    let section = deny
        .lines()
        .skip_while(|line| line.trim() != "[licenses]")
        .skip(1);
    let section = section.take_while(|line| !line.starts_with('['));
    let list = section
        .skip_while(|line| !line.starts_with("allow = ["))
        .take_while(|line| line.trim() != "]");
    list.flat_map(|line| line.split('"').skip(1).step_by(2)).collect()
}

fn foreign_licences(graph: &Graph, allowed: &BTreeSet<&str>) -> Vec<String> {
    let said = |(package, licence): (&String, &Option<String>)| match licence {
        None => Some(format!("{package} states no licence")),
        Some(licence) if spdx::satisfied(licence, allowed) => None,
        Some(licence) => Some(format!(
            "{package} is under {licence}, which deny.toml does not allow"
        )),
    };
    graph.licences.iter().filter_map(said).collect()
}

/// Dependencies without a reason, and reasons without a dependency.
fn without_reason(graph: &Graph, reasons: &str) -> Vec<String> {
    let mut used: BTreeMap<&str, &str> = BTreeMap::new();
    for (member, named) in &graph.members {
        let foreign = named
            .iter()
            .filter(|line| !graph.members.contains_key(&line.name));
        used.extend(foreign.map(|line| (line.name.as_str(), member.as_str())));
    }
    let given: BTreeSet<&str> = reasons
        .lines()
        .filter_map(|line| line.strip_prefix("- `")?.split('`').next())
        .collect();
    let missing = used.iter().filter(|(name, _)| !given.contains(*name));
    let idle = given.iter().filter(|name| !used.contains_key(*name));
    missing
        .map(|(name, member)| format!("{name}, which {member} uses, has no line in {REASONS}"))
        .chain(idle.map(|name| format!("{REASONS} has a line for {name}, which no manifest names")))
        .collect()
}
