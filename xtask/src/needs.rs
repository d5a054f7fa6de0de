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
    if !(fetched(name, fetch) && answers("cargo", asks)) {
        bail!("{name} is missing and could not be fetched: install it with `{fetch}`");
    }
    Ok(())
}

/// Fetches what is missing, aloud; whether that went well.
fn fetched(name: &str, fetch: &str) -> bool {
    println!("{name} is missing; fetching it: {fetch}");
    let words: Vec<&str> = fetch.split(' ').collect();
    Command::new(words[0])
        .args(&words[1..])
        .status()
        .is_ok_and(|status| status.success())
}

/// SQLite is compiled from its C source; a Windows toolchain finds its own compiler.
fn c_compiler() -> Result<()> {
    if cfg!(target_env = "msvc") || has_c_compiler() {
        return Ok(());
    }
    let debian = "apt-get install -y gcc libc6-dev";
    if answers("apt-get", &["--version"]) && fetched("a C compiler", debian) && has_c_compiler() {
        return Ok(());
    }
    bail!("no C compiler was found: install gcc or clang (on Debian, `{debian}`)");
}

fn has_c_compiler() -> bool {
    let chosen = std::env::var_os("CC");
    let usual = ["cc", "gcc", "clang"].map(std::ffi::OsString::from);
    chosen
        .into_iter()
        .chain(usual)
        .any(|compiler| answers(&compiler, &["--version"]))
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
