use sim::control::Command;
use sim::network::readings::{FORMS, Reading as R};
use sim::network::*;
use sim::study::diagnose::{atlas::*, doubt::*, evidence::*, posterior::*};
fn main() {
    let text = std::fs::read_to_string("scenarios/vehicles/brindle-16.toml").unwrap();
    let v: Vehicle<f64> = toml::from_str(&text).unwrap();
    let amb = Ambient {
        pressure: 101325.0,
        temperature: 293.15,
        water_mole_fraction: 0.008,
    };
    let net = Network::new(v, vec![], amb, Command::IDLE);
    let conds = vec![
        Condition {
            name: "idle".into(),
            command: Command::IDLE,
            demand_doubt: 0.0,
        },
        Condition {
            name: "cruise".into(),
            command: Command::torque(250.0, 40.0),
            demand_doubt: 3.0,
        },
        Condition {
            name: "full".into(),
            command: Command::full_load(366.5),
            demand_doubt: 0.0,
        },
    ];
    let t = std::time::Instant::now();
    let doubt = CarDoubt::usual(&net, 1.0);
    let a = Atlas::new(&net, conds, doubt).unwrap_or_else(|e| panic!("{e:?}"));
    println!(
        "atlas {:?} suspects {} curves {} rungs {}",
        t.elapsed(),
        a.suspects.len(),
        a.curves.len(),
        a.curves.iter().map(|c| c.len()).sum::<usize>()
    );
    let rs = [
        vec![
            R::EngineSpeed,
            R::MeteredAir,
            R::ShortTrim,
            R::LongTrim,
            R::Manifold,
            R::Throttle,
        ],
        vec![
            R::MeteredAir,
            R::ShortTrim,
            R::LongTrim,
            R::Manifold,
            R::Throttle,
            R::IntakeTemperature,
        ],
        vec![
            R::MeteredAir,
            R::LongTrim,
            R::LambdaSensor,
            R::Manifold,
            R::BoostSensor,
            R::WastegateDuty,
            R::IntakeTemperature,
        ],
    ];
    for target in [
        None,
        Some(("manifold_gasket", 3e-3)),
        Some(("hot_pipe", 4e-3)),
        Some(("inlet_duct", 6e-3)),
        Some(("recirculation_seat", 6e-3)),
    ] {
        let mut ev = Evidence::default();
        let spots: Vec<Option<Spot>> = match target {
            None => a.sound.spots.clone(),
            Some((n, s)) => {
                let su = a
                    .suspects
                    .iter()
                    .find(|x| x.place().map(|p| p.word()) == Some(n))
                    .unwrap();
                let c = &a.curves[su.curve];
                let u = su.coordinate(s);
                c.iter()
                    .min_by(|x, y| (x.u - u).abs().total_cmp(&(y.u - u).abs()))
                    .unwrap()
                    .spots
                    .clone()
            }
        };
        for (c, l) in rs.iter().enumerate() {
            for r in l {
                if let Some(s) = &spots[c] {
                    let val = s.readings.get(*r).unwrap();
                    ev.reads.push(Read {
                        condition: c,
                        reading: *r,
                        value: val,
                        deviation: instrument(*r).deviation(val),
                    });
                }
            }
        }
        let t = std::time::Instant::now();
        let mut ps: Vec<Posterior> = Posterior::sound(&a, &ev)
            .into_iter()
            .chain((0..a.suspects.len()).filter_map(|i| Posterior::of(&a, &ev, i)))
            .collect();
        let top = ps
            .iter()
            .map(|p| p.log_weight)
            .fold(f64::NEG_INFINITY, f64::max);
        let tot: f64 = ps.iter().map(|p| (p.log_weight - top).exp()).sum();
        ps.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        println!(
            "== {target:?} {:?} n={} hyps={}",
            t.elapsed(),
            ev.reads.len(),
            ps.len()
        );
        for p in ps.iter().take(8) {
            let n = p
                .faults
                .first()
                .map_or("sound".into(), |i| a.suspects[*i].name());
            let sz = |u: f64| {
                p.faults.first().map_or(0.0, |i| {
                    let s = &a.suspects[*i];
                    s.size(u) * s.unit().1
                })
            };
            println!(
                "{:5.3} {n:40} {:.3} [{:.3} {:.3}] d2={:.2} bad={:?}",
                (p.log_weight - top).exp() / tot,
                sz(*p.best.first().unwrap_or(&0.0)),
                sz(p.quantile(0, 0.05)),
                sz(p.quantile(0, 0.95)),
                p.fit.distance,
                p.fit.bad.map(|i| FORMS[ev.reads[i].reading as usize].key)
            );
        }
    }
}
