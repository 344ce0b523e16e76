//! Check values of seals with their source marks, through the command.

use crate::{close, json, number};

/// O-ring: 2.62 mm section in a 2.10 mm groove 19.85 % (F); 3.53 in 2.82 x 4.70 mm
/// fill 73.84 % (F); 5 % stretch thins a section by 2.41 % (F).
#[test]
fn o_ring_arithmetic() {
    let found = json(&["seal", "--gland-depth", "2.10 mm", "--section", "2.62 mm"]);
    close(
        "squeeze",
        number(&found, "at_hand.squeeze_pct"),
        19.85,
        3e-4,
    );
    let found = json(&[
        "seal",
        "--gland-depth",
        "2.82 mm",
        "--gland-width",
        "4.70 mm",
        "--section",
        "3.53 mm",
    ]);
    close("fill", number(&found, "at_hand.fill_pct"), 73.84, 1e-4);
    let found = json(&[
        "seal",
        "--pipe-diameter",
        "21 mm",
        "--gland-depth",
        "2.1 mm",
        "--section",
        "2.62 mm",
        "--inside-diameter",
        "20 mm",
    ]);
    close("stretch", number(&found, "at_hand.stretch_pct"), 5.0, 1e-9);
    let thinned = 100.0 * (1.0 - number(&found, "at_hand.section_in_place_mm") / 2.62);
    close("thinned", thinned, 2.41, 1e-3);
    assert_eq!(found["at_hand"]["faults"].as_array().unwrap().len(), 0);
}

/// ISO 815: (h0 - h2)/(h0 - h1) (M): 2.0 mm new, 1.6 mm held, 1.8 mm after release is 50 %.
#[test]
fn compression_set() {
    let found = json(&[
        "seal",
        "--gland-depth",
        "1.6 mm",
        "--new-section",
        "2 mm",
        "--used-section",
        "1.8 mm",
    ]);
    close(
        "set",
        number(&found, "used.compression_set_pct"),
        50.0,
        1e-9,
    );
    close(
        "left",
        number(&found, "used.squeeze_left_pct"),
        100.0 * 0.2 / 1.8,
        1e-9,
    );
}

/// Sizes of the inch series, inside diameter in mm as handbooks list them (M).
#[test]
fn dash_numbers() {
    let all = sim::study::workshop::rings::inch();
    for (dash, section, inside) in [
        (10, 1.78, 6.07),
        (12, 1.78, 9.25),
        (28, 1.78, 34.65),
        (110, 2.62, 9.19),
        (116, 2.62, 18.72),
        (150, 2.62, 72.69),
        (210, 3.53, 18.64),
        (222, 3.53, 37.69),
        (258, 3.53, 151.99),
        (325, 5.33, 37.46),
        (349, 5.33, 113.66),
        (425, 6.99, 113.66),
    ] {
        let ring = all.iter().find(|ring| ring.dash == Some(dash)).unwrap();
        close("section", ring.section, section * 1e-3, 1e-12);
        assert!(
            (ring.inside * 1e3 - inside).abs() < 0.02,
            "-{dash}: {}",
            ring.inside * 1e3
        );
    }
}

/// P: a small union seal for a 10 mm pipe has a 2 mm section; gasket paper of about 1 mm
/// is the alternative to a formed seal on a slightly bowed face.
#[test]
fn union_seal_and_gasket_paper() {
    let found = json(&[
        "seal",
        "--pipe-diameter",
        "10 mm",
        "--bore-diameter",
        "13.2 mm",
        "--gland-width",
        "2.8 mm",
    ]);
    assert_eq!(number(&found, "metric.section_mm"), 2.0);
    assert_eq!(number(&found, "metric.inside_diameter_mm"), 10.0);
    assert_eq!(found["metric"]["faults"].as_array().unwrap().len(), 0);
    let found = json(&["seal", "--bow", "0.15 mm"]);
    close("sheet", number(&found, "gasket.sheet_mm"), 1.0, 1e-9);
    // A ring cut and glued is always flagged.
    let found = json(&[
        "seal",
        "--pipe-diameter",
        "10 mm",
        "--bore-diameter",
        "13.2 mm",
        "--section",
        "2 mm",
        "--cut-from",
        "30 mm",
    ]);
    assert_eq!(found["cord"]["emergency_only"], true);
    close(
        "cord, mm",
        number(&found, "cord.needed_mm"),
        std::f64::consts::PI * 12.0,
        1e-9,
    );
    assert!(found["warnings"][0].as_str().unwrap().contains("emergency"));
}

/// Off centre by 0.15 mm (F): 2 mm in 1.6 mm is squeezed by 0.25/2 on the far side and by
/// 0.55/2 on the near one; the far side is what leaks.
#[test]
fn a_pipe_off_centre() {
    let found = json(&[
        "seal",
        "--gland-depth",
        "1.6 mm",
        "--section",
        "2 mm",
        "--off-centre",
        "0.15 mm",
    ]);
    close(
        "far",
        number(&found, "at_hand.squeeze_limits_pct.0"),
        12.5,
        1e-9,
    );
    close(
        "near",
        number(&found, "at_hand.squeeze_limits_pct.1"),
        27.5,
        1e-9,
    );
    let faults = found["at_hand"]["faults"].to_string();
    assert!(faults.contains("far side"), "{faults}");
}

/// Only the old ring is in hand: what it was sold as, what is left of it, what passes it. Geometry: a
/// ring of 1.72 mm in a gland of 1.80 mm round a pipe of 10 mm leaves 0.08 mm all round a bore of
/// 13.6 mm, π x 13.6 mm x 0.08 mm.
#[test]
fn the_old_ring_alone() {
    let alone = json(&["seal", "--used-section", "1.72 mm"]);
    let sold = |found: &serde_json::Value| -> Vec<f64> {
        let all = found["used"]["sold"].as_array().unwrap().iter();
        all.map(|one| one["section_mm"].as_f64().unwrap()).collect()
    };
    // 1.78 mm of the inch sizes and 2 mm of the metric ones; 2.5 mm would have to have lost 31 %.
    assert_eq!(sold(&alone).len(), 2);
    close("inch", sold(&alone)[0], 1.78, 1e-9);
    close("metric", sold(&alone)[1], 2.0, 1e-9);
    assert!(alone["used"]["spent"].is_null() && alone["used"]["squeeze_left_pct"].is_null());
    let says = alone["says"].as_str().unwrap();
    assert!(says.contains("gland_depth"), "{says}");

    let touching = json(&[
        "seal",
        "--used-section",
        "1.72 mm",
        "--gland-depth",
        "1.6 mm",
    ]);
    close(
        "left",
        number(&touching, "used.squeeze_left_pct"),
        100.0 * 0.12 / 1.72,
        1e-9,
    );
    assert_eq!(number(&touching, "used.gap_mm"), 0.0);
    // Of 2 mm, which this gland squeezes by 20 %, it has lost 0.28 of 0.40 mm.
    close(
        "set",
        touching["used"]["sold"][1]["compression_set_pct"]
            .as_f64()
            .unwrap(),
        70.0,
        1e-9,
    );
    assert_eq!(touching["used"]["spent"], true);
    assert_eq!(
        touching["used"]["fitting_sections_mm"]
            .as_array()
            .unwrap()
            .len(),
        1
    );

    let pipe = ["--pipe-diameter", "10 mm", "--gland-depth", "1.8 mm"];
    let leaks = json(&[&["seal", "--used-section", "1.72 mm"], &pipe[..]].concat());
    let area = std::f64::consts::PI * 13.6 * 0.08;
    close("area", number(&leaks, "used.open_area_mm2"), area, 1e-9);
    let hole = 2.0 * (area / std::f64::consts::PI).sqrt();
    close(
        "hole",
        number(&leaks, "used.hole_of_that_area_mm"),
        hole,
        1e-9,
    );
    assert_eq!(leaks["used"]["spent"], true);
    let says = leaks["says"].as_str().unwrap();
    assert!(
        says.contains("leaks no more than") && says.contains("10 x 2.5 mm"),
        "{says}"
    );
}

/// With the pipe off the middle the ring gapes on one side only: less than all round.
#[test]
fn the_old_ring_off_the_middle() {
    let gland = [
        "seal",
        "--used-section",
        "1.72 mm",
        "--pipe-diameter",
        "10 mm",
        "--gland-depth",
        "1.6 mm",
    ];
    let off = json(&[&gland[..], &["--off-centre", "0.2 mm"]].concat());
    close("gap", number(&off, "used.gap_mm"), 0.08, 1e-9);
    let area = number(&off, "used.open_area_mm2");
    assert!(
        0.0 < area && area < 0.5 * std::f64::consts::PI * 13.2 * 0.08,
        "{area}"
    );
}
