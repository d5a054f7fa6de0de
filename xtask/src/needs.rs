//! What the checks need beside the toolchain; what can be fetched is fetched.

use std::process::{Command, Stdio};

use anyhow::{Result, bail};

/// Makes sure that every tool is there, or says in one sentence what to install.
pub(crate) fn provide() -> Result<()> {
    tool("rustfmt", &["fmt", "--version"], "rustup component add rustfmt")?;
    tool("clippy", &["clippy", "--version"], "rustup component add clippy")?;
    tool(
        "cargo-nextest",
        &["nextest", "--version"],
        "cargo install --locked cargo-nextest",
    )?;
    c_compiler()
}

fn tool(name: &str, asks: &[&str], fetch: &str) -> Result<()> {
    if answers("cargo", asks) {
        return Ok(());
    }
    println!("{name} is missing; fetching it: {fetch}");
    let words: Vec<&str> = fetch.split(' ').collect();
    let fetched = Command::new(words[0])
        .args(&words[1..])
        .status()
        .is_ok_and(|status| status.success());
    if !(fetched && answers("cargo", asks)) {
        bail!("{name} is missing and could not be fetched: install it with `{fetch}`");
    }
    Ok(())
}

/// SQLite is compiled from its C source; a Windows toolchain finds its own compiler.
fn c_compiler() -> Result<()> {
    let chosen = std::env::var_os("CC");
    let usual = ["cc", "gcc", "clang"].map(std::ffi::OsString::from);
    let found = chosen
        .into_iter()
        .chain(usual)
        .any(|compiler| answers(&compiler, &["--version"]));
    if !found && !cfg!(target_env = "msvc") {
        bail!("no C compiler was found: install gcc or clang (on Debian, `apt-get install gcc libc6-dev`)");
    }
    Ok(())
}

fn answers(program: impl AsRef<std::ffi::OsStr>, arguments: &[&str]) -> bool {
    let mut command = Command::new(program);
    command
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command.status().is_ok_and(|status| status.success())
}
