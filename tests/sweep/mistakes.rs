//! Studies that cannot be run: the line, the key, what is allowed.

use super::*;

#[test]
fn mistakes_are_shown_at_their_line() {
    let folder = scratch("mistakes");
    let hole = "[[axis]]\nkey = \"leak.0.round_hole.diameter\"\n";
    // What stands after line 2 of the study; the line of the fault; what is said.
    let cases = [
        (
            "[[axis]]\nkey = \"leak.0.round_hole.diametre\"\nvalues = [\"1 mm\"]\n".into(),
            4,
            "did you mean `diameter`?",
        ),
        (
            "[[axis]]\nkey = \"vehicle.turbin.throat_area\"\nvalues = [\"1 mm2\"]\n".into(),
            4,
            "did you mean `turbine`?",
        ),
        (
            "[[axis]]\nkey = \"turbine.throat_area\"\nvalues = [\"1 mm2\"]\n".into(),
            4,
            "did you mean `vehicle.turbine.throat_area`?",
        ),
        (format!("{hole}values = [\"1 mm\", \"1 m\"]\n"), 5, "out of range: found 1 m"),
        (format!("{hole}values = [\"1 kg\"]\n"), 5, "kg"),
        (format!("{hole}from = \"1 mm\"\nto = \"9 mm\"\n"), 5, "need a `count`"),
        (
            format!("{hole}from = \"0 mm\"\nto = \"9 mm\"\ncount = 3\nspacing = \"logarithmic\"\n"),
            5,
            "ends above 0",
        ),
        (
            format!("{hole}from = \"1 mm\"\nto = \"9 mm\"\ncount = 3\nspacing = \"log\"\n"),
            8,
            "did you mean `logarithmic`?",
        ),
        (
            "[[axis]]\nkey = \"leak.0.place\"\nvalues = [\"hot_pip\"]\n".into(),
            5,
            "did you mean `hot_pipe`?",
        ),
        (
            "[[axis]]\nkey = \"leak.3.round_hole.diameter\"\nvalues = [\"1 mm\"]\n".into(),
            4,
            "no such value to vary",
        ),
        (
            "[[axis]]\nkey = \"ambient.pressure\"\nvalues = [\"90 kPa abs\"]\n".into(),
            4,
            "no such value to vary",
        ),
        (
            "[[axis]]\nkey = \"leak.0.shape\"\nshapes = [{ round_hole = { diamter = \"1 mm\" } }]\n".into(),
            5,
            "did you mean `diameter`?",
        ),
        (
            format!("sampling = \"sobol\"\n{hole}from = \"1 mm\"\nto = \"9 mm\"\n"),
            3,
            "a sample needs a `count`",
        ),
        (
            format!("readings = [\"bost_kpa\"]\n{hole}values = [\"1 mm\"]\n"),
            3,
            "unknown reading `bost_kpa`; did you mean `boost_kpa`?",
        ),
        (
            format!("{hole}values = [\"1 mm\"]\n{hole}values = [\"2 mm\"]\n"),
            7,
            "two axes have this key",
        ),
        (format!("smaple = 3\n{hole}values = [\"1 mm\"]\n"), 3, "unknown key `smaple`"),
    ];
    for (rest, line, said) in &cases {
        let study = study(&folder, &format!("{rest}{CRUISE}"));
        let found = refused(&study, &folder.join("out"), &[]);
        assert!(found.contains(said), "wanted: {said}\n{found}");
        let place = format!("study.toml:{line}:");
        assert!(
            found.contains(&place),
            "wanted line {line}\n{rest}\n{found}"
        );
        assert!(!folder.join("out").exists());
    }
}

#[test]
fn a_share_is_written_k_of_n() {
    let folder = scratch("share");
    for part in ["0/3", "4/3", "2", "a/b", "1/0"] {
        let said = refused(
            &folder.join("none.toml"),
            &folder.join("out"),
            &["--part", part],
        );
        assert!(said.contains("K/N"), "{said}");
    }
}
