//! What must hold for every flow element between any two states.

use crate::random::Random;
use crate::sides;
use sim::flow::Flow;
use sim::flow::duct::DuctLoss;
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::{BowedCover, HoseOff, Porous, RingGap, RoundHole, Shape, Slot, Split};
use sim::medium::GasState;
use sim::units::Dimension;
use sim::{Dual, Over};

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
        matches!(self, Element::Leak(shape) if shape.area(0.0) != shape.area(1e5))
    }
}

fn elements(random: &mut Random) -> Vec<Element> {
    let gap = random.log(0.003e-3, 2e-3);
    let depth = random.log(0.3e-3, 20e-3);
    let entrance_loss = random.flat(0.0, 1.0);
    let leaks = [
        Shape::RoundHole(RoundHole { diameter: gap }),
        Shape::HoseOff(HoseOff {
            bore: gap,
            discharge_coefficient: 0.82,
        }),
        Shape::Slot(Slot {
            gap,
            length: random.log(1e-3, 0.3),
            depth,
            entrance_loss,
        }),
        Shape::BowedCover(BowedCover {
            gap,
            span_length: 0.05,
            spans: 4.0,
            depth,
            entrance_loss,
        }),
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
        Shape::Porous(Porous {
            area: 0.01,
            thickness: depth,
            permeability: 1e-12,
        }),
    ];
    let duct = DuctLoss {
        reference_loss: random.log(100.0, 2e4),
        reference_flow: 0.1,
        reference_pressure: 1e5,
        reference_temperature: 300.0,
        laminar_share: random.log(1e-3, 1.0),
    };
    // Every shape of the registry, its other numbers as they usually are.
    let usual = Shape::examples().into_iter();
    let usual = usual.map(|shape| match shape.measure().dimension {
        Dimension::Length => shape.sized(gap),
        _ => shape,
    });
    let mut all: Vec<Element> = leaks.into_iter().chain(usual).map(Element::Leak).collect();
    all.extend([Element::Orifice, Element::Duct(duct)]);
    all
}

/// Two states: far apart, near, or within the laminar band.
fn numbers(random: &mut Random) -> [f64; 8] {
    let mut state = |pressure: f64| {
        [
            pressure,
            random.log(200.0, 1400.0),
            random.flat(280.0, 300.0),
            random.flat(1.26, 1.41),
        ]
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

#[test]
fn swapping_the_sides_turns_the_flow() {
    let mut random = Random::new(1);
    for _ in 0..3000 {
        let [a, b] = sides(numbers(&mut random));
        for element in elements(&mut random).iter().filter(|e| !e.directed()) {
            let (forward, back) = (element.flow(&a, &b), element.flow(&b, &a));
            let scale = 1e-11 * forward.mass.abs() + 1e-18;
            assert!(
                (forward.mass + back.mass).abs() <= scale,
                "{element:?} {a:?} {b:?}"
            );
            assert!(
                (forward.from_a + back.from_a - 1.0).abs() < 1e-10,
                "{element:?}"
            );
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
                assert!(flow >= least, "{element:?} {fixed:?} {ratio}");
                last = flow;
            }
            let mut last = 0.0;
            for i in 0..200 {
                let flow = at(fixed[0] * (1.0 + 0.01 * f64::from(i)), fixed[0]);
                assert!(flow >= last, "{element:?} {fixed:?} {i}");
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
            assert!((exact.mass.value - at(n).mass).abs() <= 3e-11 * exact.mass.value.abs());
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
                assert!(
                    error <= 1e-6 * difference.abs() + slack,
                    "{element:?} {n:?} {i}: {} {difference}",
                    exact.mass.slope[i]
                );
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
                    let pb = if edge < 0.0 {
                        n[0] / (1.0 + edge + side * 1e-13)
                    } else {
                        pb
                    };
                    let mut dual: [Dual<8>; 8] = std::array::from_fn(|i| Dual::variable(n[i], i));
                    dual[4].value = pb;
                    let [a, b] = sides(dual);
                    element.flow(&a, &b)
                };
                let (above, below) = (slope(1.0), slope(-1.0));
                // The steepest duct turns its blend over some 1e-11 of the pressure.
                assert!((above.from_a.value - below.from_a.value).abs() < 1e-2);
                // A split that is shut has no slope on either side: no scale but nothing.
                for i in 0..8 {
                    let (x, y) = (above.mass.slope[i], below.mass.slope[i]);
                    let scale = above.mass.slope[0].abs()
                        * if i % 4 == 0 { 1.0 } else { n[0] / n[i] * 1e-4 };
                    assert!(
                        (x - y).abs() <= 1e-6 * scale + 1e-40,
                        "{element:?} {n:?} edge {edge} {i}: {x} {y}"
                    );
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
            let finite = all
                .chain([&flow.mass.value, &flow.from_a.value])
                .all(|x| x.is_finite());
            assert!(finite, "{element:?} {n:?}: {flow:?}");
        }
    }
}
