//! A drive of a car of the other model, as a log: standing, through the gears, cruising, pedal
//! released, one pull. Steady points in a grid of speed and load, between them straight lines, pipes
//! that fill and sensors that follow on top.

use super::engine::{BURNS, Car, Driven, Point, Wrong};
use sim::study::judging::diagnose::garage::Chance;
use std::fmt::Write as _;

/// What of a point is logged.
const SIGNALS: usize = 8;
type Signals = [f64; SIGNALS];

/// Air that fills cooler, pipes and manifold: litres a litre of displacement.
const PIPES: f64 = 4.0;
/// Time constants of the signals, s: metered air, manifold, boost, lambda, trim, throttle, duty,
/// temperature.
const LAGS: Signals = [0.05, 0.02, 0.05, 0.25, 0.0, 0.05, 0.1, 12.0];
/// Scatter of one value, in its unit.
const NOISE: Signals = [0.15, 0.25, 0.3, 0.006, 1.2, 0.15, 0.4, 0.3];

fn signals(p: &Point) -> Signals {
    [
        1e3 * p.metered,
        p.manifold / 1e3,
        p.boost / 1e3,
        p.lambda,
        100.0 * p.trim,
        100.0 * p.throttle,
        100.0 * p.duty,
        p.charge - 273.15,
    ]
}

/// Steady points over speed and the share of the load that this speed allows.
struct Grid {
    speeds: Vec<f64>,
    shares: Vec<f64>,
    points: Vec<Vec<Signals>>,
    full: Vec<Signals>,
    idle: (f64, Signals),
}

impl Grid {
    fn new(car: &Car, wrong: Wrong) -> Option<Self> {
        let speeds: Vec<f64> = (0..10).map(|i| 1000.0 + 600.0 * f64::from(i)).collect();
        let shares: Vec<f64> = vec![0.02, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9];
        let full: Vec<Point> = (speeds.iter())
            .filter_map(|speed| car.point(wrong, Driven::Full(*speed)))
            .collect();
        let points = speeds.iter().zip(&full).map(|(speed, full)| {
            let at = |share: &f64| {
                let driven = Driven::Part(*speed, share * full.torque.max(20.0));
                car.point(wrong, driven).map(|p| signals(&p))
            };
            shares.iter().map(at).collect::<Option<Vec<_>>>()
        });
        let idle = car.point(wrong, Driven::Idle)?;
        if idle.lambda > BURNS[0] {
            return None;
        }
        Some(Self {
            points: points.collect::<Option<Vec<_>>>()?,
            full: full.iter().map(signals).collect(),
            idle: (idle.speed, signals(&idle)),
            speeds,
            shares,
        })
    }

    fn at(&self, speed: f64, share: f64) -> Signals {
        let (i, s) = between(&self.speeds, speed);
        let (j, t) = between(&self.shares, share);
        let mix = |a: &Signals, b: &Signals, t: f64| -> Signals {
            std::array::from_fn(|k| a[k] + t * (b[k] - a[k]))
        };
        let row = |i: usize| match share >= 1.0 {
            true => self.full[i],
            false => mix(&self.points[i][j], &self.points[i][j + 1], t),
        };
        mix(&row(i), &row(i + 1), s)
    }
}

fn between(grid: &[f64], x: f64) -> (usize, f64) {
    let i = grid.partition_point(|g| *g < x).clamp(1, grid.len() - 1) - 1;
    (i, ((x - grid[i]) / (grid[i + 1] - grid[i])).clamp(0.0, 1.0))
}

/// How the engine is driven at a moment.
#[derive(Clone, Copy)]
enum Now {
    Standing,
    /// Speed, rpm, and share of full load; 1 is pedal down.
    Pulling(f64, f64),
    Released(f64),
}

/// Twenty minutes on the road, 0.1 s a step.
fn route(chance: &mut Chance, pulls: usize) -> Vec<Now> {
    let mut all = Vec::new();
    let mut hold = |now: Now, seconds: f64| {
        all.extend(std::iter::repeat_n(now, (10.0 * seconds) as usize));
    };
    let mut legs = Vec::new();
    for leg in 0..18 {
        legs.push((leg, chance.between(0.0, 1.0), chance.between(0.25, 0.75)));
    }
    for (leg, a, b) in legs {
        hold(Now::Standing, 6.0 + 14.0 * a);
        for gear in 0..3 {
            let (from, to) = (1400.0 + 200.0 * f64::from(gear), 2300.0 + 900.0 * b);
            let steps = 30 + 10 * gear;
            for i in 0..steps {
                let along = f64::from(i) / f64::from(steps);
                hold(
                    Now::Pulling(from + along * (to - from), 0.25 + 0.5 * b),
                    0.1,
                );
            }
            hold(Now::Released(to), 0.4);
        }
        let (mean, load) = (1600.0 + 1600.0 * a, 0.08 + 0.5 * b * b);
        for i in 0..300 {
            let along = f64::from(i) / 10.0;
            let speed = mean * (1.0 + 0.06 * (0.31 * along).sin());
            hold(
                Now::Pulling(speed, load * (1.0 + 0.5 * (0.47 * along).sin())),
                0.1,
            );
        }
        if leg % (18 / pulls.max(1)).max(1) == 1 && pulls > 0 {
            for i in 0..55 {
                hold(Now::Pulling(2000.0 + 65.0 * f64::from(i), 1.0), 0.1);
            }
        }
        for i in 0..60 {
            hold(
                Now::Released(mean - f64::from(i) * (mean - 900.0) / 60.0),
                0.1,
            );
        }
    }
    all
}

/// A log of the car with so many rows a second, of which one in fifty is lost; none where the car
/// does not run.
pub fn log(
    car: &Car,
    wrong: Wrong,
    rate: usize,
    pulls: usize,
    chance: &mut Chance,
) -> Option<String> {
    let grid = Grid::new(car, wrong)?;
    let mut text = String::from(
        "time_s,engine_speed_rpm,vehicle_speed_km_h,pedal_pct,coolant_temp_degC,ambient_kpa_abs,\
         metered_air_g_s,manifold_kpa_abs,boost_sensor_kpa_gauge,lambda_sensor,total_trim_pct,\
         throttle_pct,wastegate_duty_pct,intake_temp_degC\n",
    );
    let mut shown = grid.idle.1;
    let mut before = shown;
    for (i, now) in route(chance, pulls).into_iter().enumerate() {
        let (speed, road, pedal, mut wanted) = match now {
            Now::Standing => (grid.idle.0, 0.0, 0.0, grid.idle.1),
            Now::Pulling(speed, share) => {
                let pedal = if share >= 1.0 {
                    100.0
                } else {
                    8.0 + 70.0 * share
                };
                (speed, speed / 40.0, pedal, grid.at(speed, share))
            }
            Now::Released(speed) => {
                let mut at = grid.at(speed, 0.02);
                (at[3], at[0], at[1]) = (2.0, 0.6 * at[0], 0.7 * at[1]);
                (speed, speed / 40.0, 0.0, at)
            }
        };
        // What fills the pipes passes the meter.
        let rise = (wanted[1] - before[1]) * 1e3 / 0.1;
        before = wanted;
        let filled = PIPES * car.displacement * rise / (287.0 * 310.0) * 1e3;
        wanted[0] = (wanted[0] + filled.clamp(-0.5 * wanted[0], wanted[0])).max(0.1);
        for k in 0..SIGNALS {
            let share = if LAGS[k] > 0.0 {
                1.0 - (-0.1 / LAGS[k]).exp()
            } else {
                1.0
            };
            shown[k] += share * (wanted[k] - shown[k]);
        }
        if i % (10 / rate.clamp(1, 10)) != 0 || chance.between(0.0, 1.0) < 0.02 {
            continue;
        }
        let mut noisy = shown;
        for k in 0..SIGNALS {
            noisy[k] += NOISE[k] * chance.normal();
        }
        let [air, manifold, boost, lambda, trim, throttle, duty, charge] = noisy;
        writeln!(
            text,
            "{:.1},{:.0},{:.0},{pedal:.1},90,101.3,{air:.2},{manifold:.1},{boost:.1},{lambda:.3},\
             {trim:.1},{throttle:.1},{:.0},{charge:.0}",
            i as f64 / 10.0,
            speed + 8.0 * chance.normal(),
            road,
            duty.clamp(0.0, 100.0),
        )
        .ok()?;
    }
    Some(text)
}
