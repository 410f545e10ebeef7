//! Programs in Python that read our files.

use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;

/// What a program prints, run in a folder by the interpreter that `ROUGHWATER_PYTHON` names, else `python3`. None, and
/// said so, where there is no interpreter, or where the program ends with 3 for want of a package.
pub fn python<A: AsRef<OsStr>>(folder: &Path, arguments: impl IntoIterator<Item = A>) -> Option<String> {
    let interpreter = std::env::var("ROUGHWATER_PYTHON").unwrap_or_else(|_| "python3".into());
    let output = match Command::new(&interpreter).current_dir(folder).args(arguments).output() {
        Ok(output) => output,
        Err(error) => {
            println!("skipped: {interpreter}: {error}");
            return None;
        }
    };
    let told = String::from_utf8(output.stdout).unwrap();
    if output.status.code() == Some(3) {
        println!("{told}");
        return None;
    }
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    Some(told)
}
