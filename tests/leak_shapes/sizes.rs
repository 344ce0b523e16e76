//! The one size of every shape: what a person measures moves the numbers that it should.

use crate::{AMBIENT, air};
use sim::leak::Shape;
use sim::units::Dimension;

/// Sizes over the range that a shape may have.
fn sizes(shape: &Shape) -> [f64; 4] {
    let measure = shape.measure();
    [0.0, 0.25, 0.5, 1.0].map(|share| measure.least + share * (measure.widest - measure.least))
}

fn numbers(shape: &Shape) -> Vec<f64> {
    let mut all = Vec::new();
    shape.map(&mut |_, value| all.push(value));
    all
}

#[test]
fn a_shape_has_the_size_it_is_given() {
    for shape in Shape::examples() {
        for size in sizes(&shape) {
            let sized = shape.sized(size);
            let error = sized.size() / size - 1.0;
            // A ring's gap is the small difference of two diameters.
            assert!(error.abs() < 1e-10, "{sized:?}: {size} {}", sized.size());
            assert_eq!(sized.name(), shape.name());
        }
        assert!(shape.sized(0.0).is_shut(), "{shape:?}");
        let again = shape.sized(0.0).sized(1e-3);
        assert!(
            (again.size() / 1e-3 - 1.0).abs() < 1e-10,
            "{again:?} grows from nothing"
        );
    }
}

/// Exact derivatives by the size lean on it: every number is a straight line over the size.
#[test]
fn numbers_move_straight_with_the_size() {
    for shape in Shape::examples() {
        let [low, _, middle, high] = sizes(&shape).map(|size| shape.sized(size));
        let step = high.size() - middle.size();
        let mut keys = Vec::new();
        shape.map(&mut |key, _| keys.push(key.to_string()));
        let moves = middle.moves();
        assert!(!moves.is_empty(), "{shape:?}");
        let [low, middle, high] = [low, middle, high].map(|shape| numbers(&shape));
        for (i, key) in keys.iter().enumerate() {
            let slope = moves.iter().find(|(name, _)| name == key);
            let rise = slope.map_or(0.0, |(_, slope)| slope * step);
            let scale = 1e-12 * high[i].abs();
            assert!(
                (high[i] - middle[i] - rise).abs() <= scale,
                "{} {key}",
                shape.name()
            );
            let straight = low[i] + (high[i] - low[i]) * 0.5;
            assert!(
                (middle[i] - straight).abs() <= scale,
                "{} {key}",
                shape.name()
            );
        }
    }
}

/// A larger size opens more and passes more, either way; damage and joints alike.
#[test]
fn larger_is_more() {
    let outside = air(AMBIENT, 293.0);
    for shape in Shape::examples() {
        for pressure in [150e3, 60e3] {
            let inside = air(pressure, 320.0);
            let mut last = (0.0, 0.0);
            for size in sizes(&shape) {
                let sized = shape.sized(size);
                let area = sized.area(pressure - AMBIENT).unwrap_or(size);
                let flow = sized.flow(&outside, &inside).mass.abs();
                assert!(area >= last.0 && flow >= last.1, "{sized:?} {pressure}");
                last = (area, flow);
            }
            assert!(
                pressure < AMBIENT || last.1 > 0.0,
                "{shape:?} never passes anything"
            );
        }
    }
}

/// Nothing passes more than an ideal nozzle of its open area (Saint-Venant and Wantzel's law,
/// `naca1135`), whatever its losses.
#[test]
fn nothing_passes_more_than_its_area_can() {
    use sim::flow::orifice::{Discharge, orifice};
    for shape in Shape::examples() {
        for (size, pressure) in sizes(&shape).into_iter().zip([300e3, 190e3, 110e3, 40e3]) {
            let (outside, inside) = (air(AMBIENT, 293.0), air(pressure, 320.0));
            let sized = shape.sized(size);
            let Some(area) = sized.area(pressure - AMBIENT) else {
                assert_eq!(sized.measure().dimension, Dimension::Area);
                continue;
            };
            let ideal = orifice(area, Discharge::Constant(1.0), &outside, &inside);
            let flow = sized.flow(&outside, &inside).mass.abs();
            assert!(
                flow <= ideal.mass.abs() * (1.0 + 1e-9),
                "{sized:?} {pressure}"
            );
        }
    }
}

/// Words that finish "at most 0.2 mm of ...".
#[test]
fn every_size_has_words_and_a_range() {
    for shape in Shape::examples() {
        let measure = shape.measure();
        assert!(
            measure.words.len() > 2 && !measure.words.ends_with('.'),
            "{shape:?}"
        );
        assert!(0.0 < measure.least && measure.least < measure.widest);
        assert!(!measure.felt || measure.dimension == Dimension::Length);
    }
}
