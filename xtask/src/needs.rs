//! What the checks need beside the toolchain; what can be fetched is fetched.

use std::path::PathBuf;
use std::process::{Command, Stdio};

use anyhow::{Result, bail};

use crate::root;

/// Makes sure that every tool is there, or says in one sentence what to install.
pub(crate) fn provide() -> Result<()> {
    tool("rustfmt", &["fmt", "--version"], "rustup component add rustfmt")?;
    tool("clippy", &["clippy", "--version"], "rustup component add clippy")?;
    tool(
        "cargo-nextest",
        &["nextest", "--version"],
        "cargo install --locked cargo-nextest",
    )?;
    c_compiler()?;
    browser()?;
    certificates()?;
    poppler()?;
    axe()
}

/// What the pages are tried with: a browser, and what drives it.
pub(crate) fn browser() -> Result<()> {
    let is_there = || {
        let browser = ["chromium", "chromium-browser", "google-chrome"];
        on_path("CHROMIUM", &browser) && on_path("CHROMEDRIVER", &["chromedriver"])
    };
    let debian = "apt-get install -y chromium chromium-driver";
    if is_there() || (from_debian(debian) && is_there()) {
        return Ok(());
    }
    bail!(
        "no Chromium with its chromedriver was found: install both (on Debian, `{debian}`) or name them in the \
         variables CHROMIUM and CHROMEDRIVER"
    );
}

/// What makes a browser trust the certificate of a farm, as a phone would that has taken it in.
pub(crate) fn certificates() -> Result<()> {
    // Asked for its help it ends with a failure, so it is only tried whether it starts.
    let is_there = || {
        let program = std::env::var_os("CERTUTIL").unwrap_or_else(|| "certutil".into());
        let mut command = Command::new(program);
        command
            .arg("-H")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command.status().is_ok()
    };
    let debian = "apt-get install -y libnss3-tools";
    if is_there() || (from_debian(debian) && is_there()) {
        return Ok(());
    }
    bail!(
        "certutil of NSS was not found: install it (on Debian, `{debian}`) or name it in the variable CERTUTIL"
    );
}

/// The file of axe-core, which finds what keeps people from using a page. It lies in the target folder and is
/// fetched once.
fn axe() -> Result<()> {
    let (folder, file) = (npm(), axe_file());
    if file.is_file() {
        return Ok(());
    }
    let debian = "apt-get install -y npm";
    if !answers("npm", &["--version"]) {
        from_debian(debian);
    }
    let fetch = format!(
        "npm install --no-save --no-audit --no-fund --prefix {} axe-core@4",
        folder.display()
    );
    if std::fs::create_dir_all(&folder).is_ok() && fetched("axe-core", &fetch) && file.is_file() {
        return Ok(());
    }
    bail!("axe-core is missing and could not be fetched: it takes npm (on Debian, `{debian}`) and `{fetch}`");
}

/// Where axe-core lies once it was fetched.
pub(crate) fn axe_file() -> PathBuf {
    npm().join("node_modules/axe-core/axe.min.js")
}

/// Beside the builds, never among the sources.
fn npm() -> PathBuf {
    target().join("npm")
}

/// Where builds go.
pub(crate) fn target() -> PathBuf {
    let chosen = std::env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
    root().join(chosen.unwrap_or_else(|| PathBuf::from("target")))
}

/// Python with HiGHS and SciPy, in an environment of its own beside the builds; gives the program to start.
pub(crate) fn python() -> Result<PathBuf> {
    let folder = target().join("python");
    let program = folder.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    if answers(&program, &["-c", "import highspy, scipy"]) {
        return Ok(program);
    }
    let debian = "apt-get install -y python3 python3-venv";
    if !answers("python3", &["-m", "venv", "--help"]) {
        from_debian(debian);
    }
    let make = format!("python3 -m venv {}", folder.display());
    let fetch = format!("{} -m pip install --quiet highspy scipy", program.display());
    if fetched("Python", &make)
        && fetched("HiGHS and SciPy", &fetch)
        && answers(&program, &["-c", "import highspy, scipy"])
    {
        return Ok(program);
    }
    bail!(
        "HiGHS and SciPy for Python are missing and could not be fetched: they take Python 3 (on Debian, `{debian}`) and `{fetch}`"
    );
}

/// What draws printed sheets as pictures.
pub(crate) fn poppler() -> Result<()> {
    let debian = "apt-get install -y poppler-utils";
    if answers("pdftoppm", &["-v"]) || (from_debian(debian) && answers("pdftoppm", &["-v"])) {
        return Ok(());
    }
    bail!("pdftoppm of Poppler was not found: install it (on Debian, `{debian}`)");
}

/// Whether the program that a variable names, or one of these on the path, is there.
fn on_path(variable: &str, names: &[&str]) -> bool {
    let chosen = std::env::var_os(variable);
    let usual = names.iter().map(std::ffi::OsString::from);
    let mut all = chosen.into_iter().chain(usual);
    all.any(|program| answers(&program, &["--version"]))
}

/// Installs what Debian has; its lists may be too old to find it at once.
fn from_debian(line: &str) -> bool {
    answers("apt-get", &["--version"])
        && (fetched("a package", line)
            || (fetched("the list of packages", "apt-get update") && fetched("a package", line)))
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
        .env("DEBIAN_FRONTEND", "noninteractive")
        .status()
        .is_ok_and(|status| status.success())
}

/// SQLite is compiled from its C source; a Windows toolchain finds its own compiler.
fn c_compiler() -> Result<()> {
    if cfg!(target_env = "msvc") || has_c_compiler() {
        return Ok(());
    }
    let debian = "apt-get install -y gcc libc6-dev";
    if from_debian(debian) && has_c_compiler() {
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
