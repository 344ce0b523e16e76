//! Curves through points.

use sim::Dual;
use sim::curve::Curve;

#[test]
fn closed_forms() {
    // Two points with flat ends: the cubic 3t² − 2t³ (F).
    let step = Curve::new(vec![[1.0, 10.0], [3.0, 20.0]]).unwrap();
    for t in [0.0, 0.25, 0.5, 0.75, 1.0_f64] {
        let want = 10.0 + 10.0 * (3.0 - 2.0 * t) * t * t;
        assert!((step.at(1.0 + 2.0 * t) - want).abs() < 1e-13);
    }
    // Three points on a line: slopes 0, 1, 0, so 0.375 at the first middle (Hermite basis, F).
    let line = Curve::new(vec![[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]).unwrap();
    assert!((line.at(0.5) - 0.375).abs() < 1e-15);
    assert_eq!((line.at(-5.0), line.at(9.0)), (0.0, 2.0));
}

#[test]
fn monotone_through_steep_data() {
    // The radiochemical data on which Fritsch & Carlson 1980 show the overshoot
    // of ordinary splines (M; the last of its nine points left out).
    let data = vec![
        [7.99, 0.0],
        [8.09, 2.764_29e-5],
        [8.19, 4.374_98e-2],
        [8.7, 0.169_183],
        [9.2, 0.469_428],
        [10.0, 0.943_740],
        [12.0, 0.998_636],
        [15.0, 0.999_919],
    ];
    let curve = Curve::new(data.clone()).unwrap();
    for [x, y] in data {
        assert!((curve.at(x) - y).abs() < 1e-15);
    }
    let mut last = curve.at(7.9);
    for i in 1..=20_000 {
        let y = curve.at(7.9 + 7.2 * f64::from(i) / 20_000.0);
        assert!(y >= last - 1e-15 && (0.0..=0.999_919 + 1e-15).contains(&y));
        last = y;
    }
}

#[test]
fn slope_is_exact_and_continuous() {
    let points = vec![[0.0, 1.0], [1.0, 4.0], [3.0, 5.0], [4.0, 2.0]];
    let curve = Curve::new(points).unwrap();
    let at = |x: f64| curve.at(Dual::<1>::variable(x, 0));
    for x in [0.3, 0.9, 1.7, 2.9, 3.4] {
        let h = 1e-6;
        let numeric = (curve.at(x + h) - curve.at(x - h)) / (2.0 * h);
        assert!((at(x).slope[0] - numeric).abs() < 1e-8);
    }
    for x in [0.0, 1.0, 3.0, 4.0] {
        let jump = at(x + 1e-9).slope[0] - at(x - 1e-9).slope[0];
        assert!(jump.abs() < 1e-6, "slope jumps by {jump} at {x}");
    }
    assert_eq!(at(-1.0).slope[0], 0.0);
    // A turn, and the flat ends, have no slope.
    assert!(at(3.0).slope[0].abs() < 1e-12);
}

#[test]
fn derivative_with_respect_to_a_point() {
    let points = vec![[0.0, 1.0], [1.0, 2.0], [2.5, 4.0], [4.0, 4.5]];
    let curve = Curve::new(points.clone()).unwrap();
    let mut keys = Vec::new();
    let dual = curve.map(&mut |key, p| {
        keys.push(key.to_string());
        if key == "1.1" {
            Dual::<1>::variable(p, 0)
        } else {
            Dual {
                value: p,
                slope: [0.0],
            }
        }
    });
    assert_eq!(keys[..4], ["0.0", "0.1", "1.0", "1.1"]);
    for x in [0.4, 1.0, 1.9, 3.0, 9.0] {
        let moved = |h: f64| {
            let mut points = points.clone();
            points[1][1] += h;
            Curve::new(points).unwrap().at(x)
        };
        let numeric = (moved(1e-6) - moved(-1e-6)) / 2e-6;
        let exact = dual
            .at(Dual {
                value: x,
                slope: [0.0],
            })
            .slope[0];
        assert!((exact - numeric).abs() < 1e-8, "{x}: {exact} {numeric}");
    }
}

#[test]
fn bad_points_are_refused() {
    assert!(Curve::new(vec![[0.0, 1.0]]).is_err());
    assert!(Curve::new(vec![[0.0, 1.0], [0.0, 2.0]]).is_err());
    assert!(Curve::new(vec![[0.0, 1.0], [1.0, f64::NAN]]).is_err());
    assert!(Curve::new((0..9).map(|i| [f64::from(i), 0.0]).collect()).is_err());
}
