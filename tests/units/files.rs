//! Files that cannot be read or written.

use falseair::answer::door::write_beside;
use falseair::input::read_toml;
use std::fs;
use std::path::{Path, PathBuf};

/// A fresh folder under the build's own temporary one.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

fn fault(path: &Path) -> String {
    let error = read_toml::<toml::Table>(path).expect_err("a fault");
    assert_eq!(error.exit_code(), 2);
    assert!(error.to_string().contains(&path.display().to_string()));
    error.message().to_string()
}

#[test]
fn each_unreadable_file_says_why() {
    let here = folder("unreadable");
    let holding = |name: &str, bytes: &[u8]| {
        let path = here.join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    holding("vehicle.toml", b"a = 1");
    let missing = fault(&here.join("vehicel.toml"));
    let near = here.join("vehicle.toml");
    assert_eq!(
        missing,
        format!("there is no such file\ndid you mean `{}`?", near.display())
    );
    assert_eq!(fault(&here.join("zzzz")), "there is no such file");
    let nowhere = here.join("nowhere");
    assert_eq!(
        fault(&nowhere.join("a.toml")),
        format!("there is no folder `{}`", nowhere.display())
    );
    assert_eq!(fault(&here), "this is a folder, not a file");
    assert_eq!(
        fault(&holding("latin", b"a = 1\nb = '\xe9'")),
        "the file is not UTF-8 text: line 2\nsave it as UTF-8"
    );
    assert_eq!(
        fault(&holding("wide", b"\xff\xfea\0")),
        "the file is UTF-16 text\nsave it as UTF-8"
    );
    assert_eq!(fault(&holding("empty", b" \n")), "the file is empty");
    assert_eq!(
        fault(&holding("large", &vec![b'#'; 4_000_001])),
        "the file is larger than 4 MB"
    );
    assert_eq!(
        fault(&holding("broken", b"a")),
        "key with no value, expected `=`"
    );
    let marked = holding("marked", "\u{feff}a = 1".as_bytes());
    assert!(read_toml::<toml::Table>(&marked).is_ok());
}

#[test]
fn a_file_is_written_whole_or_not_at_all() {
    let here = folder("written");
    let path = here.join("out.csv");
    write_beside(&path, b"one").unwrap();
    write_beside(&path, b"two").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"two");
    assert_eq!(fs::read_dir(&here).unwrap().count(), 1, "no leftovers");

    let nowhere = here.join("nowhere");
    let error = write_beside(&nowhere.join("a.csv"), b"").unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with(&format!("there is no folder `{}`", nowhere.display()))
    );
    let error = write_beside(&path.join("a.csv"), b"").unwrap_err();
    assert!(
        error.to_string().ends_with("out.csv` is not a folder"),
        "{error}"
    );
    let error = write_beside(&here, b"").unwrap_err();
    assert!(error.to_string().ends_with("it is a folder"));
}

#[cfg(target_os = "linux")]
#[test]
fn devices_and_links() {
    // A device that is always full.
    let error = write_beside(Path::new("/dev/full"), b"x").unwrap_err();
    assert_eq!(
        error.to_string(),
        "cannot write `/dev/full`: the disk is full"
    );
    write_beside(Path::new("/dev/null"), b"x").unwrap();
}

/// A link is followed within its folder; what stands elsewhere is not written through it.
#[cfg(unix)]
#[test]
fn no_link_leads_out_of_the_folder() {
    use std::os::unix::fs::symlink;
    let here = folder("linked");
    fs::create_dir(here.join("out")).unwrap();
    let (real, link) = (here.join("real"), here.join("link"));
    fs::write(&real, b"old").unwrap();
    symlink(&real, &link).unwrap();
    write_beside(&link, b"new").unwrap();
    assert_eq!(fs::read(&real).unwrap(), b"new");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());

    let (out, lost) = (here.join("out/link"), here.join("out/lost"));
    symlink(&real, &out).unwrap();
    symlink("nowhere", &lost).unwrap();
    let said = write_beside(&out, b"through").unwrap_err().to_string();
    assert!(said.contains("out of its folder"), "{said}");
    let said = write_beside(&lost, b"through").unwrap_err().to_string();
    assert!(said.contains("leads nowhere"), "{said}");
    assert_eq!(fs::read(&real).unwrap(), b"new");
    assert_eq!(
        fs::read_dir(here.join("out")).unwrap().count(),
        2,
        "no leftovers"
    );
}
