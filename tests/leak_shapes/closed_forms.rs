//! Each shape against closed forms and against the shapes it is made of.

use crate::{AMBIENT, air, sides};
use sim::flow::Regime;
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::{
    BowedCover, HoseOff, Porous, RingGap, RoundHole, Shape, Slot, Split, TiltedJoint,
    equivalent_hole,
};
use sim::medium::GasState;
use sim::{Dual, Scalar};

/// A leak of no size passes nothing, and its slope in its own size is finite.
#[test]
fn leaks_of_no_size() {
    let (a, b) = (air(AMBIENT, 293.0), air(180e3, 330.0));
    let shut = [
        Shape::RoundHole(RoundHole { diameter: 0.0 }),
        Shape::HoseOff(HoseOff {
            bore: 0.0,
            discharge_coefficient: 0.82,
        }),
        Shape::Slot(Slot {
            gap: 0.0,
            length: 0.02,
            depth: 5e-3,
            entrance_loss: 0.5,
        }),
        Shape::BowedCover(BowedCover {
            gap: 0.0,
            span_length: 0.05,
            spans: 4.0,
            depth: 5e-3,
            entrance_loss: 0.5,
        }),
        Shape::RingGap(RingGap {
            pipe_diameter: 0.05,
            bore_diameter: 0.049,
            depth: 5e-3,
            eccentric: 0.0,
            entrance_loss: 0.5,
        }),
        Shape::Split(Split {
            length: 0.03,
            reference_opening: 0.0,
            reference_pressure: 1e5,
            closed_opening: 0.0,
            depth: 4e-3,
        }),
        Shape::Porous(Porous {
            area: 0.0,
            thickness: 4e-3,
            permeability: 1e-12,
        }),
    ];
    let sized = Shape::examples().into_iter().map(|shape| shape.sized(0.0));
    for shape in shut.into_iter().chain(sized) {
        assert_eq!(shape.flow(&a, &b).mass, 0.0, "{shape:?}");
        assert_eq!(shape.report(&a, &b).equivalent_hole, 0.0);
        let mut index = 0;
        let varied: Shape<Dual<8>> = shape.map(&mut |_, value| {
            index += 1;
            Dual::variable(value, index - 1)
        });
        let lift = |gas: &GasState<f64>| {
            sides(
                [
                    gas.pressure,
                    gas.temperature,
                    gas.gas_constant,
                    gas.gamma,
                    0.0,
                    0.0,
                    0.0,
                    0.0,
                ]
                .map(Dual::constant),
            )[0]
        };
        let flow = varied.flow(&lift(&a), &lift(&b));
        assert!(
            flow.mass.slope.iter().all(|s| s.is_finite()),
            "{shape:?} {flow:?}"
        );
    }
}

/// The sharp-edged hole is its own equivalent; nothing flows between equal pressures.
#[test]
fn equivalent_holes() {
    let (a, b) = (air(AMBIENT, 293.0), air(180e3, 330.0));
    let hole = Shape::RoundHole(RoundHole { diameter: 3e-3 });
    let report = hole.report(&a, &b);
    assert!((report.equivalent_hole / 3e-3 - 1.0).abs() < 1e-12);
    assert!(report.mass_flow < 0.0 && report.regime == Regime::Turbulent);
    assert_eq!(hole.report(&a, &air(30e3, 293.0)).regime, Regime::Choked);
    assert_eq!(equivalent_hole(0.0, &a, &a), 0.0);
}

/// Numerical integral over the span of the strips a slot is made of.
#[test]
fn bowed_cover_is_the_sum_of_its_strips() {
    for (gap, pressure, tolerance) in [
        (0.02e-3, 190e3, 1e-4),
        (0.1e-3, 190e3, 1e-2),
        (0.38e-3, 190e3, 1e-2),
        (0.38e-3, 40e3, 1e-2),
        (1e-3, 300e3, 1e-2),
    ] {
        let (a, b) = (air(AMBIENT, 293.0), air(pressure, 320.0));
        let cover = BowedCover {
            gap,
            span_length: 0.06,
            spans: 3.0,
            depth: 5e-3,
            entrance_loss: 0.5,
        };
        let count = 4000;
        // Strips so long that their ends do not count.
        let sum: f64 = (0..count)
            .map(|i| {
                let x = (f64::from(i) + 0.5) / f64::from(count);
                let strip = Slot {
                    gap: gap * 4.0 * x * (1.0 - x),
                    length: 1e3,
                    depth: 5e-3,
                    entrance_loss: 0.5,
                };
                strip.flow(&a, &b).mass / 1e3
            })
            .sum();
        let expected = sum / f64::from(count) * 0.06 * 3.0;
        let error = cover.flow(&a, &b).mass / expected - 1.0;
        println!("bowed cover {gap} m at {pressure} Pa: {error:.2e}");
        assert!(error.abs() < tolerance, "{gap} {pressure}: {error:.2e}");
    }
}

/// Laminar limits (F): a parabola passes ∫(4x(1-x))³ = 16/35 of the even slot; a pipe
/// off centre `1 + 3/2 e²` of the centred one (White 2016 ch. 6, M).
#[test]
fn laminar_limits() {
    let (a, b) = (air(AMBIENT, 293.0), air(AMBIENT + 2e3, 293.0));
    let gap = 4e-6;
    let even = Slot {
        gap,
        length: 1.0,
        depth: 5e-3,
        entrance_loss: 0.5,
    }
    .flow(&a, &b)
    .mass;
    let bowed = BowedCover {
        gap,
        span_length: 0.25,
        spans: 4.0,
        depth: 5e-3,
        entrance_loss: 0.5,
    };
    assert!((bowed.flow(&a, &b).mass / even - 16.0 / 35.0).abs() < 1e-3);
    let ring = |eccentric| {
        let ring = RingGap {
            pipe_diameter: 0.05,
            bore_diameter: 0.05 + 2.0 * gap,
            depth: 5e-3,
            eccentric,
            entrance_loss: 0.5,
        };
        ring.flow(&a, &b).mass
    };
    for e in [0.3, 0.7, 1.0] {
        assert!(
            (ring(e) / ring(0.0) - 1.0 - 1.5 * e * e).abs() < 2e-3,
            "{e}"
        );
    }
    let around = std::f64::consts::PI * (0.05 + gap);
    assert!((ring(0.0) / (even * around) - 1.0).abs() < 1e-4);
}

/// A wide ring gap is an opening of the ring's area (F), wherever the pipe sits.
#[test]
fn wide_ring_gap() {
    let (a, b) = (air(AMBIENT, 293.0), air(AMBIENT + 80e3, 293.0));
    let ring = |eccentric| {
        let ring = RingGap {
            pipe_diameter: 0.05,
            bore_diameter: 0.054,
            depth: 8e-3,
            eccentric,
            entrance_loss: 0.0,
        };
        ring.flow(&a, &b).mass
    };
    let area = std::f64::consts::PI / 4.0 * (0.054_f64.powi(2) - 0.05_f64.powi(2));
    let ideal = orifice(area, Discharge::Constant(1.0), &a, &b).mass;
    assert!(
        (0.93..0.99).contains(&(ring(0.0) / ideal)),
        "{}",
        ring(0.0) / ideal
    );
    assert!((ring(0.6) / ring(0.0) - 1.0).abs() < 0.01);
}

/// A tilted joint passes what its strips pass (numerical integral round the circle), laminar
/// 5/16 of the joint that is as wide all round, choked half of it (F).
#[test]
fn tilted_joint_is_the_sum_of_its_strips() {
    let joint = |gap| TiltedJoint {
        gap,
        face_diameter: 0.06,
        depth: 5e-3,
        entrance_loss: 0.5,
    };
    let strip = |gap| Slot {
        gap,
        length: 1e3,
        depth: 5e-3,
        entrance_loss: 0.5,
    };
    let around = std::f64::consts::PI * 0.06;
    for (gap, pressure, tolerance) in [
        (0.02e-3, 190e3, 1e-4),
        (0.1e-3, 190e3, 1e-2),
        (0.4e-3, 190e3, 1e-2),
        (0.4e-3, 40e3, 1e-2),
        (2e-3, 300e3, 1e-2),
    ] {
        let (a, b) = (air(AMBIENT, 293.0), air(pressure, 320.0));
        let count = 4000;
        let sum: f64 = (0..count)
            .map(|i| {
                let angle = (f64::from(i) + 0.5) / f64::from(count) * std::f64::consts::PI;
                strip(gap * 0.5 * (1.0 + angle.cos())).flow(&a, &b).mass / 1e3
            })
            .sum();
        let expected = sum / f64::from(count) * around;
        let error = joint(gap).flow(&a, &b).mass / expected - 1.0;
        println!("tilted joint {gap} m at {pressure} Pa: {error:.2e}");
        assert!(error.abs() < tolerance, "{gap} {pressure}: {error:.2e}");
    }
    let share = |gap: f64, pressure: f64| {
        let (a, b) = (air(AMBIENT, 293.0), air(pressure, 293.0));
        joint(gap).flow(&a, &b).mass / (strip(gap).flow(&a, &b).mass / 1e3 * around)
    };
    assert!((share(4e-6, AMBIENT + 2e3) - 5.0 / 16.0).abs() < 1e-3);
    assert!(
        (share(3e-3, 400e3) - 0.5).abs() < 0.02,
        "{}",
        share(3e-3, 400e3)
    );
}

#[test]
fn split_opens_outwards_only() {
    let split = Split {
        length: 0.03,
        reference_opening: 0.5e-3,
        reference_pressure: 1e5,
        closed_opening: 0.0,
        depth: 4e-3,
    };
    assert_eq!(split.opening(1e5), 0.5e-3);
    assert_eq!(split.opening(-5e4), 0.0);
    assert!(split.opening(5e4) > 0.2e-3 && split.opening(5e4) < 0.26e-3);
    let outside = air(AMBIENT, 293.0);
    assert_eq!(split.flow(&outside, &air(40e3, 293.0)).mass, 0.0);
    assert!(split.flow(&outside, &air(190e3, 293.0)).mass < 0.0);
}

/// Darcy flow of a gas (F).
#[test]
fn porous_wall() {
    let wall = Porous {
        area: 0.02,
        thickness: 5e-3,
        permeability: 1e-13,
    };
    let (a, b) = (air(200e3, 293.15), air(100e3, 293.15));
    let expected = 0.02 * 1e-13 / 5e-3 * (200e3_f64.powi(2) - 100e3_f64.powi(2))
        / (2.0 * 18.134e-6 * 287.05 * 293.15);
    assert!((wall.flow(&a, &b).mass / expected - 1.0).abs() < 1e-3);
}
