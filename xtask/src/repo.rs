//! The work tree: where it is, its text files, and the commands run in it.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

/// Folders that hold no text of ours.
const SKIPPED: &[&str] = &[".git", "target", "__pycache__", "corpus", "artifacts"];

/// A text file of the work tree.
#[derive(Clone, Debug)]
pub(crate) struct TextFile {
    /// Path from the root of the work tree, with forward slashes.
    pub(crate) path: String,
    /// What it says.
    pub(crate) text: String,
}

impl TextFile {
    /// The name without its folders.
    pub(crate) fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or(&self.path)
    }

    /// True for a name that ends in `.extension`.
    pub(crate) fn is(&self, extension: &str) -> bool {
        Path::new(&self.path).extension().is_some_and(|found| found == extension)
    }
}

/// The root of the work tree.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

/// Every UTF-8 file of the work tree, sorted by path.
pub(crate) fn text_files() -> Result<Vec<TextFile>, String> {
    let root = root();
    let mut files = Vec::new();
    collect(&root, &root, &mut files)?;
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(files)
}

fn collect(root: &Path, folder: &Path, files: &mut Vec<TextFile>) -> Result<(), String> {
    let fault = |error: std::io::Error| format!("{}: {error}", folder.display());
    for entry in fs::read_dir(folder).map_err(fault)? {
        let entry = entry.map_err(fault)?;
        let name = entry.file_name();
        let kind = entry.file_type().map_err(fault)?;
        if kind.is_dir() && !SKIPPED.iter().any(|skipped| name == *skipped) {
            collect(root, &entry.path(), files)?;
        } else if kind.is_file() {
            let bytes = fs::read(entry.path()).map_err(fault)?;
            // What is not UTF-8 is no text: a drawing, or a sample of a broken document.
            if let Ok(text) = String::from_utf8(bytes) {
                files.push(TextFile { path: slashed(root, &entry.path()), text });
            }
        }
    }
    Ok(())
}

fn slashed(root: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(root).unwrap_or(path);
    let parts: Vec<_> =
        inside.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    parts.join("/")
}

/// `cargo` with `args`, started at the root of the work tree.
pub(crate) fn cargo(args: &[&str]) -> Command {
    // Under `cargo xtask` this is the very cargo that was called.
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(args).current_dir(root());
    // What cargo tells this tool of itself is no news of what is built: a build script that heeds
    // it would run again, and all that depends on it be built anew.
    for (name, _) in std::env::vars_os() {
        let said = name.to_string_lossy();
        if said.starts_with("CARGO_PKG_") || said.starts_with("CARGO_MANIFEST_") {
            command.env_remove(&name);
        }
    }
    command
}

/// How a program is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Profile {
    /// As the tests are.
    Debug,
    /// As it is used.
    Release,
}

/// Builds `stillprop` and says where it is.
pub(crate) fn program(profile: Profile) -> Result<PathBuf, String> {
    let mut build = cargo(&["build", "--package", "stillprop"]);
    let folder = match profile {
        Profile::Debug => "debug",
        Profile::Release => {
            build.arg("--release");
            "release"
        }
    };
    show(&mut build)?;
    let file = format!("stillprop{}", std::env::consts::EXE_SUFFIX);
    let program = target()?.join(folder).join(file);
    if !program.is_file() {
        return Err(format!("stillprop was built and {} is not there", program.display()));
    }
    Ok(program)
}

/// Where cargo puts what it builds.
pub(crate) fn target() -> Result<PathBuf, String> {
    let args = ["metadata", "--format-version", "1", "--no-deps", "--offline"];
    let metadata: serde_json::Value = serde_json::from_str(&output(&mut cargo(&args))?)
        .map_err(|error| format!("cargo metadata: {error}"))?;
    metadata
        .get("target_directory")
        .and_then(serde_json::Value::as_str)
        .map(PathBuf::from)
        .ok_or_else(|| "cargo metadata names no target directory".into())
}

/// Runs `command` to its end and returns what it printed on standard output.
pub(crate) fn output(command: &mut Command) -> Result<String, String> {
    let name = name(command);
    let done = command.output().map_err(|error| format!("{name}: {error}"))?;
    if !done.status.success() {
        return Err(format!("{name}: {}\n{}", done.status, String::from_utf8_lossy(&done.stderr)));
    }
    String::from_utf8(done.stdout).map_err(|error| format!("{name}: {error}"))
}

/// Runs `command` with its output on the screen.
pub(crate) fn show(command: &mut Command) -> Result<(), String> {
    let name = name(command);
    let status = command.status().map_err(|error| format!("{name}: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("{name}: {status}")) }
}

/// The program's own name, without the folder it happens to be in.
fn name(command: &Command) -> String {
    let program = Path::new(command.get_program());
    program.file_name().unwrap_or(program.as_os_str()).to_string_lossy().into_owned()
}
