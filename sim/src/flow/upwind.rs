//! Which side feeds an element, smoothly through zero flow.
//!
//! The properties of the feeding side are blended over |1 - p_down/p_up| below
//! [`LAMINAR_BAND`], by a cubic step that is flat at the band's edges: every
//! element built on this is continuous in value and slope through zero.

use super::Flow;
use crate::dual::Dual;
use crate::medium::GasState;
use crate::scalar::Scalar;
use crate::smooth::step;
use std::any::TypeId;

/// Half-width of the laminar band in pressure difference over upstream pressure:
/// 10 Pa at 1 bar. Inside it orifices are linearised and properties blended.
pub const LAMINAR_BAND: f64 = 1e-4;

/// Half-width of the narrower band in which what the stream *carries* (enthalpy,
/// composition) turns from one side to the other. Blending mixes the two gases
/// like a short circuit, so it must end far below any real flow: a breather
/// moves 0.3 g/s on 4 Pa.
const CARRY_BAND: f64 = 0.02 * LAMINAR_BAND;

/// The feeding side of an element between a and b.
#[derive(Clone, Copy, Debug)]
pub struct Upwind<S> {
    /// The feeding side: its pressure, and properties blended within the band.
    /// Enthalpy and fuel fraction are left at 0: the flow law does not need them.
    pub gas: GasState<S>,
    /// Pressure on the other side, Pa abs.
    pub pressure_down: S,
    /// Share of side a in what the stream carries.
    pub from_a: S,
    /// +1 when a feeds b, -1 when b feeds a.
    pub sign: f64,
}

impl<S: Scalar> Upwind<S> {
    /// The feeding side of two.
    #[inline]
    pub fn new(a: &GasState<S>, b: &GasState<S>) -> Self {
        let (pa, pb) = (a.pressure.value(), b.pressure.value());
        let (up, down, sign, share) = if pa >= pb {
            (a, b, 1.0, 1.0)
        } else {
            (b, a, -1.0, 0.0)
        };
        let zero = S::constant(0.0);
        let mut gas = GasState {
            fuel_fraction: zero,
            enthalpy: zero,
            ..*up
        };
        let mut from_a = S::constant(share);
        if (pa - pb).abs() < LAMINAR_BAND * up.pressure.value() {
            let difference = (a.pressure - b.pressure) / up.pressure;
            from_a = step(difference, -CARRY_BAND, CARRY_BAND);
            let share = step(difference, -LAMINAR_BAND, LAMINAR_BAND);
            let blend = |a: S, b: S| b + share * (a - b);
            gas.temperature = blend(a.temperature, b.temperature);
            gas.gas_constant = blend(a.gas_constant, b.gas_constant);
            gas.gamma = blend(a.gamma, b.gamma);
        }
        Self {
            gas,
            pressure_down: down.pressure,
            from_a,
            sign,
        }
    }

    /// The flow whose size `law` gives from the feeding gas, the pressure on the
    /// other side and `K` further numbers.
    ///
    /// The law runs on a small dual of just these `N = 5 + K` numbers, and its
    /// slopes are chained once: with tens of directions in `S` this costs a
    /// fraction of running the law on `S`.
    #[inline]
    pub fn flow<const K: usize, const N: usize>(
        &self,
        further: [S; K],
        law: impl Law<K>,
    ) -> Flow<S> {
        const { assert!(N == K + 5, "one direction per number") };
        let up = &self.gas;
        let five = [
            up.pressure,
            self.pressure_down,
            up.temperature,
            up.gas_constant,
            up.gamma,
        ];
        let plain = |s: S| s.value();
        // A plain number has no slopes to find.
        if TypeId::of::<S>() == TypeId::of::<f64>() {
            let (gas, down) = feeding(five.map(plain));
            let size = law.size(&gas, down, further.map(plain));
            return Flow {
                mass: S::constant(self.sign * size),
                from_a: self.from_a,
            };
        }
        let (gas, down) = feeding(std::array::from_fn(|i| {
            Dual::<N>::variable(five[i].value(), i)
        }));
        let numbers = std::array::from_fn(|i| Dual::variable(further[i].value(), i + 5));
        let size = law.size(&gas, down, numbers);
        let slopes = size.slope.map(|slope| self.sign * slope);
        let mut mass = up.pressure.chain(self.sign * size.value, slopes[0]);
        for (number, slope) in five[1..].iter().zip(&slopes[1..]) {
            mass += number.chain(0.0, *slope);
        }
        for (number, slope) in further.iter().zip(&slopes[5..]) {
            mass += number.chain(0.0, *slope);
        }
        Flow {
            mass,
            from_a: self.from_a,
        }
    }
}

/// The size of a flow from its feeding side; see [`Upwind::flow`].
pub trait Law<const K: usize> {
    /// kg/s, from the feeding gas, the (lower) pressure on the other side, and
    /// further numbers of the element's own.
    fn size<T: Scalar>(&self, up: &GasState<T>, pressure_down: T, further: [T; K]) -> T;
}

/// Gas and outlet pressure from the five numbers a law sees.
#[inline(always)]
fn feeding<T: Scalar>(five: [T; 5]) -> (GasState<T>, T) {
    let [pressure, pressure_down, temperature, gas_constant, gamma] = five;
    let zero = T::constant(0.0);
    let gas = GasState {
        pressure,
        temperature,
        fuel_fraction: zero,
        gas_constant,
        gamma,
        enthalpy: zero,
    };
    (gas, pressure_down)
}
