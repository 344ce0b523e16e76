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
