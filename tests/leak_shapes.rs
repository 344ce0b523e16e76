//! Leak shapes as flow elements: what must hold for every shape between any two
//! states, closed forms for each shape, and how they are read.

#[path = "published/random.rs"]
mod random;

use random::Random;
use sim::flow::Flow;
use sim::flow::Regime;
use sim::flow::duct::DuctLoss;
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::{
    BowedCover, HoseOff, Porous, RingGap, RoundHole, Shape, Slot, Split, equivalent_hole,
};
use sim::medium::GasState;
use sim::{Dual, Over, Scalar};

const AMBIENT: f64 = 101_325.0;

fn gas<S: Scalar>(numbers: [S; 4]) -> GasState<S> {
    let [pressure, temperature, gas_constant, gamma] = numbers;
    GasState {
        pressure,
        temperature,
        fuel_fraction: S::constant(0.0),
        gas_constant,
        gamma,
        enthalpy: temperature * 1005.0,
    }
}

fn air(pressure: f64, temperature: f64) -> GasState<f64> {
    gas([pressure, temperature, 287.05, 1.4])
}

/// Every element under test, its parameters a function of two random numbers.
#[derive(Clone, Copy, Debug)]
enum Element {
    Leak(Shape),
    Orifice,
    Duct(DuctLoss),
}

impl Element {
    fn flow<S: Over<f64>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        match self {
            Element::Leak(shape) => shape.flow(a, b),
            Element::Orifice => orifice(S::constant(1e-5), Discharge::Constant(0.8), a, b),
            Element::Duct(duct) => duct.flow(a, b),
        }
    }

    fn directed(&self) -> bool {
        matches!(self, Element::Leak(Shape::Split(_)))
    }
}

fn elements(random: &mut Random) -> Vec<Element> {
    let gap = random.log(0.003e-3, 2e-3);
    let depth = random.log(0.3e-3, 20e-3);
    let entrance_loss = random.flat(0.0, 1.0);
    let leaks = [
        Shape::RoundHole(RoundHole { diameter: gap }),
        Shape::HoseOff(HoseOff { bore: gap, discharge_coefficient: 0.82 }),
        Shape::Slot(Slot { gap, length: random.log(1e-3, 0.3), depth, entrance_loss }),
        Shape::BowedCover(BowedCover { gap, span_length: 0.05, spans: 4.0, depth, entrance_loss }),
        Shape::RingGap(RingGap {
            pipe_diameter: 0.05,
            bore_diameter: 0.05 + 2.0 * gap,
            depth,
            eccentric: random.unit(),
            entrance_loss,
        }),
        Shape::Split(Split {
            length: 0.03,
            reference_opening: gap,
            reference_pressure: 1e5,
            closed_opening: gap * random.unit(),
            depth,
        }),
        Shape::Porous(Porous { area: 0.01, thickness: depth, permeability: 1e-12 }),
    ];
    let duct = DuctLoss {
        reference_loss: random.log(100.0, 2e4),
        reference_flow: 0.1,
        reference_pressure: 1e5,
        reference_temperature: 300.0,
        laminar_share: random.log(1e-3, 1.0),
    };
    let mut all: Vec<Element> = leaks.map(Element::Leak).into();
    all.extend([Element::Orifice, Element::Duct(duct)]);
    all
}

/// Two states: far apart, near, or within the laminar band.
fn numbers(random: &mut Random) -> [f64; 8] {
    let mut state = |pressure: f64| {
        [pressure, random.log(200.0, 1400.0), random.flat(280.0, 300.0), random.flat(1.26, 1.41)]
    };
    let [a, b] = [state(1.0), state(1.0)];
    let pa = random.log(1e3, 5e5);
    let pb = match (random.unit() * 3.0) as u32 {
        0 => random.log(1e3, 5e5),
        1 => pa * (1.0 + random.flat(-0.02, 0.02)),
        _ => pa * (1.0 + random.flat(-1.5e-4, 1.5e-4)),
    };
    [pa, a[1], a[2], a[3], pb, b[1], b[2], b[3]]
}

fn sides<S: Scalar>(n: [S; 8]) -> [GasState<S>; 2] {
    [gas([n[0], n[1], n[2], n[3]]), gas([n[4], n[5], n[6], n[7]])]
}

#[test]
fn swapping_the_sides_turns_the_flow() {
    let mut random = Random::new(1);
    for _ in 0..3000 {
        let [a, b] = sides(numbers(&mut random));
        for element in elements(&mut random).iter().filter(|e| !e.directed()) {
            let (forward, back) = (element.flow(&a, &b), element.flow(&b, &a));
            let scale = 1e-11 * forward.mass.abs() + 1e-18;
            assert!((forward.mass + back.mass).abs() <= scale, "{element:?} {a:?} {b:?}");
            assert!((forward.from_a + back.from_a - 1.0).abs() < 1e-10, "{element:?}");
            assert!((0.0..=1.0).contains(&forward.from_a));
        }
    }
}

#[test]
fn more_pressure_difference_means_more_flow() {
    let mut random = Random::new(2);
    for _ in 0..200 {
        let fixed = numbers(&mut random);
        for element in elements(&mut random) {
            // The law's own gas, so that only the pressures change.
            let at = |pa: f64, pb: f64| {
                let mut n = fixed;
                [n[0], n[4]] = [pa, pb];
                [n[5], n[6], n[7]] = [n[1], n[2], n[3]];
                let [a, b] = sides(n);
                element.flow(&a, &b).mass
            };
            // The outlet pressure falls, then the inlet pressure rises.
            let mut last = at(fixed[0], fixed[0] * 1.5);
            for i in 0..400 {
                let ratio = 1.5 - 1.5 * f64::from(i) / 400.0;
                let flow = at(fixed[0], fixed[0] * ratio);
                let least = last - 1e-9 * last.abs();
                // An inward-only flow through a split that shuts may stay.
                assert!(flow >= least || element.directed(), "{element:?} {fixed:?} {ratio}");
                last = flow;
            }
            let mut last = 0.0;
            for i in 0..200 {
                let flow = at(fixed[0] * (1.0 + 0.01 * f64::from(i)), fixed[0]);
                assert!(flow >= last || element.directed(), "{element:?} {fixed:?} {i}");
                last = flow;
            }
        }
    }
}

/// The slopes of the dual number are those of the plain law, by sixth-order differences.
#[test]
fn slopes_are_exact() {
    let mut random = Random::new(3);
    for _ in 0..1000 {
        let n = numbers(&mut random);
        for element in elements(&mut random) {
            let dual: [Dual<8>; 8] = std::array::from_fn(|i| Dual::variable(n[i], i));
            let [a, b] = sides(dual);
            let exact = element.flow(&a, &b);
            let at = |n: [f64; 8]| {
                let [a, b] = sides(n);
                element.flow(&a, &b)
            };
            assert!((exact.mass.value - at(n).mass).abs() <= 1e-14 * exact.mass.value.abs());
            for i in 0..8 {
                // A pressure step must not reach zero or the edge of the laminar band.
                let drop = (n[0] - n[4]).abs() / n[0].max(n[4]);
                let room = drop.min((drop - 1e-4).abs()).clamp(1e-8, 4e-3);
                let relative = if i % 4 == 0 { room * 0.2 } else { 1e-3 };
                let h = n[i] * relative;
                let moved = |k: f64| {
                    let mut n = n;
                    n[i] += k * h;
                    at(n).mass
                };
                let odd = |k: f64| moved(k) - moved(-k);
                let difference = (45.0 * odd(1.0) - 9.0 * odd(2.0) + odd(3.0)) / (60.0 * h);
                // Corners are C1 only: a difference across one is off by its own step.
                let wide = (odd(3.0)) / (6.0 * h);
                let slack = (difference - wide).abs() + 2e-10 * exact.mass.value.abs() / h;
                let error = (exact.mass.slope[i] - difference).abs();
                assert!(error <= 1e-6 * difference.abs() + slack, "{element:?} {n:?} {i}: {} {difference}", exact.mass.slope[i]);
            }
        }
    }
}

/// Value and slope meet at zero pressure difference and at the band's edges.
#[test]
fn smooth_through_zero() {
    let mut random = Random::new(4);
    for _ in 0..500 {
        let n = numbers(&mut random);
        for element in elements(&mut random) {
            // Across zero, and across either edge of the band.
            for edge in [0.0, 1e-4, -1e-4] {
                let slope = |side: f64| {
                    let pb = n[0] * (1.0 - edge + side * 1e-13);
                    let pb = if edge < 0.0 { n[0] / (1.0 + edge + side * 1e-13) } else { pb };
                    let mut dual: [Dual<8>; 8] = std::array::from_fn(|i| Dual::variable(n[i], i));
                    dual[4].value = pb;
                    let [a, b] = sides(dual);
                    element.flow(&a, &b)
                };
                let (above, below) = (slope(1.0), slope(-1.0));
                assert!((above.from_a.value - below.from_a.value).abs() < 1e-4);
                for i in 0..8 {
                    let (x, y) = (above.mass.slope[i], below.mass.slope[i]);
                    let scale = above.mass.slope[0].abs() * if i % 4 == 0 { 1.0 } else { n[0] / n[i] * 1e-4 };
                    assert!((x - y).abs() <= 1e-6 * scale, "{element:?} {n:?} edge {edge} {i}: {x} {y}");
                }
            }
        }
    }
}

#[test]
fn always_a_number() {
    let mut random = Random::new(5);
    for _ in 0..2000 {
        let mut n = numbers(&mut random);
        match (random.unit() * 6.0) as u32 {
            0 => n[4] = 0.0,
            1 => n[4] = n[0],
            2 => n[0] = n[4] * 1e-9,
            3 => n[4] = -1e3,
            _ => (),
        }
        let dual: [Dual<8>; 8] = std::array::from_fn(|i| Dual::variable(n[i], i));
        let [a, b] = sides(dual);
        for element in elements(&mut random) {
            let flow = element.flow(&a, &b);
            let all = flow.mass.slope.iter().chain(&flow.from_a.slope);
            let finite = all.chain([&flow.mass.value, &flow.from_a.value]).all(|x| x.is_finite());
            assert!(finite, "{element:?} {n:?}: {flow:?}");
        }
    }
}

/// A leak of no size passes nothing, and its slope in its own size is finite.
#[test]
fn leaks_of_no_size() {
    let (a, b) = (air(AMBIENT, 293.0), air(180e3, 330.0));
    let shut = [
        Shape::RoundHole(RoundHole { diameter: 0.0 }),
        Shape::HoseOff(HoseOff { bore: 0.0, discharge_coefficient: 0.82 }),
        Shape::Slot(Slot { gap: 0.0, length: 0.02, depth: 5e-3, entrance_loss: 0.5 }),
        Shape::BowedCover(BowedCover { gap: 0.0, span_length: 0.05, spans: 4.0, depth: 5e-3, entrance_loss: 0.5 }),
        Shape::RingGap(RingGap { pipe_diameter: 0.05, bore_diameter: 0.049, depth: 5e-3, eccentric: 0.0, entrance_loss: 0.5 }),
        Shape::Split(Split { length: 0.03, reference_opening: 0.0, reference_pressure: 1e5, closed_opening: 0.0, depth: 4e-3 }),
        Shape::Porous(Porous { area: 0.0, thickness: 4e-3, permeability: 1e-12 }),
    ];
    assert_eq!(shut.len(), Shape::NAMES.len());
    for shape in shut {
        assert_eq!(shape.flow(&a, &b).mass, 0.0, "{shape:?}");
        assert_eq!(shape.report(&a, &b).equivalent_hole, 0.0);
        let mut index = 0;
        let varied: Shape<Dual<8>> = shape.map(&mut |_, value| {
            index += 1;
            Dual::variable(value, index - 1)
        });
        let lift = |gas: &GasState<f64>| {
            sides([gas.pressure, gas.temperature, gas.gas_constant, gas.gamma, 0.0, 0.0, 0.0, 0.0].map(Dual::constant))[0]
        };
        let flow = varied.flow(&lift(&a), &lift(&b));
        assert!(flow.mass.slope.iter().all(|s| s.is_finite()), "{shape:?} {flow:?}");
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
    for (gap, pressure, tolerance) in [(0.02e-3, 190e3, 1e-4), (0.1e-3, 190e3, 1e-2), (0.38e-3, 190e3, 1e-2), (0.38e-3, 40e3, 1e-2), (1e-3, 300e3, 1e-2)] {
        let (a, b) = (air(AMBIENT, 293.0), air(pressure, 320.0));
        let cover = BowedCover { gap, span_length: 0.06, spans: 3.0, depth: 5e-3, entrance_loss: 0.5 };
        let count = 4000;
        // Strips so long that their ends do not count.
        let sum: f64 = (0..count)
            .map(|i| {
                let x = (f64::from(i) + 0.5) / f64::from(count);
                let strip = Slot { gap: gap * 4.0 * x * (1.0 - x), length: 1e3, depth: 5e-3, entrance_loss: 0.5 };
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
    let even = Slot { gap, length: 1.0, depth: 5e-3, entrance_loss: 0.5 }.flow(&a, &b).mass;
    let bowed = BowedCover { gap, span_length: 0.25, spans: 4.0, depth: 5e-3, entrance_loss: 0.5 };
    assert!((bowed.flow(&a, &b).mass / even - 16.0 / 35.0).abs() < 1e-3);
    let ring = |eccentric| {
        let ring = RingGap { pipe_diameter: 0.05, bore_diameter: 0.05 + 2.0 * gap, depth: 5e-3, eccentric, entrance_loss: 0.5 };
        ring.flow(&a, &b).mass
    };
    for e in [0.3, 0.7, 1.0] {
        assert!((ring(e) / ring(0.0) - 1.0 - 1.5 * e * e).abs() < 2e-3, "{e}");
    }
    let around = std::f64::consts::PI * (0.05 + gap);
    assert!((ring(0.0) / (even * around) - 1.0).abs() < 1e-4);
}

/// A wide ring gap is an opening of the ring's area (F), wherever the pipe sits.
#[test]
fn wide_ring_gap() {
    let (a, b) = (air(AMBIENT, 293.0), air(AMBIENT + 80e3, 293.0));
    let ring = |eccentric| {
        let ring = RingGap { pipe_diameter: 0.05, bore_diameter: 0.054, depth: 8e-3, eccentric, entrance_loss: 0.0 };
        ring.flow(&a, &b).mass
    };
    let area = std::f64::consts::PI / 4.0 * (0.054_f64.powi(2) - 0.05_f64.powi(2));
    let ideal = orifice(area, Discharge::Constant(1.0), &a, &b).mass;
    assert!((0.93..0.99).contains(&(ring(0.0) / ideal)), "{}", ring(0.0) / ideal);
    assert!((ring(0.6) / ring(0.0) - 1.0).abs() < 0.01);
}

#[test]
fn split_opens_outwards_only() {
    let split = Split { length: 0.03, reference_opening: 0.5e-3, reference_pressure: 1e5, closed_opening: 0.0, depth: 4e-3 };
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
    let wall = Porous { area: 0.02, thickness: 5e-3, permeability: 1e-13 };
    let (a, b) = (air(200e3, 293.15), air(100e3, 293.15));
    let expected = 0.02 * 1e-13 / 5e-3 * (200e3_f64.powi(2) - 100e3_f64.powi(2)) / (2.0 * 18.134e-6 * 287.05 * 293.15);
    assert!((wall.flow(&a, &b).mass / expected - 1.0).abs() < 1e-3);
}

fn read(text: &str) -> Result<Shape, String> {
    toml::from_str(text).map_err(|e: toml::de::Error| e.message().to_owned())
}

#[test]
fn read_by_name() {
    let shape = read("bowed_cover = { gap = \"15 thou\", span_length = \"60 mm\", spans = 4, depth = \"5 mm\" }");
    let cover = BowedCover { gap: 0.381e-3, span_length: 0.06, spans: 4.0, depth: 5e-3, entrance_loss: 0.5 };
    assert_eq!(shape, Ok(Shape::BowedCover(cover)));
    assert_eq!(shape.map(|s| s.name()), Ok("bowed_cover"));
    let wrong = read("ring_gab = { }").unwrap_err();
    assert!(wrong.contains("did you mean `ring_gap`"), "{wrong}");
    let missing = read("round_hole = { }").unwrap_err();
    assert!(missing.contains("diameter"), "{missing}");
    assert!(read("").is_err());
    let two = read("round_hole = { diameter = \"2 mm\" }\nporous = { area = \"1 cm2\", thickness = \"4 mm\", permeability = \"1e-7 mm2\" }");
    assert!(two.unwrap_err().contains("one shape"));
}
