//! The thin layer that a browser calls.

use page_engine::bench::{Bench, Load, read};
use page_engine::lesson::{Lesson, Secret};
use page_engine::{locked, point, seal};
use wasm_bindgen::prelude::wasm_bindgen;

/// Both engines; see [`Bench`].
#[wasm_bindgen]
pub struct PageEngine {
    bench: Bench,
    numbers: Vec<f64>,
}

#[wasm_bindgen]
impl PageEngine {
    /// See [`Bench::new`].
    #[wasm_bindgen(constructor)]
    pub fn new(vehicle: &str) -> Result<PageEngine, String> {
        let bench = Bench::new(vehicle)?;
        Ok(Self {
            bench,
            numbers: Vec::new(),
        })
    }

    /// See [`Bench::trouble`].
    pub fn trouble(&mut self, json: &str) -> Result<(), String> {
        self.bench.trouble(json)
    }

    /// See [`Bench::air`].
    pub fn air(&mut self, temperature: f64, altitude: f64) -> Result<(), String> {
        self.bench.air(temperature, altitude)
    }

    /// See [`Bench::drive`]; the load as JSON: `{"load": "in_gear", "gear": 3}`.
    pub fn drive(&mut self, load: &str, pedal: f64) -> Result<(), String> {
        let load: Load = read(load)?;
        self.bench.drive(load, pedal);
        Ok(())
    }

    /// See [`Bench::advance`].
    pub fn advance(&mut self, seconds: f64) {
        self.bench.advance(seconds);
    }

    /// See [`Bench::restart`].
    pub fn restart(&mut self) -> Result<(), String> {
        self.bench.restart()
    }

    /// See [`Bench::numbers`].
    pub fn numbers(&mut self) -> Vec<f64> {
        self.bench.numbers(&mut self.numbers);
        self.numbers.clone()
    }

    /// See [`Bench::why`].
    pub fn why(&self) -> String {
        self.bench.why()
    }

    /// See [`Bench::dangers`], as JSON.
    pub fn dangers(&mut self) -> String {
        serde_json::json!(self.bench.dangers()).to_string()
    }

    /// See [`Bench::codes`], as JSON.
    pub fn codes(&self) -> String {
        serde_json::json!(self.bench.codes()).to_string()
    }
}

/// A car with a hidden fault whose truth is told; see [`Lesson`].
#[wasm_bindgen]
pub struct PageLesson(Lesson);

#[wasm_bindgen]
impl PageLesson {
    /// See [`Lesson::of`]; the secret as JSON.
    #[wasm_bindgen(constructor)]
    pub fn new(vehicle: &str, secret: &str) -> Result<PageLesson, String> {
        Lesson::of(vehicle, &read::<Secret>(secret)?).map(Self)
    }

    /// See [`Lesson::act`].
    pub fn act(&mut self, key: &str) -> Result<String, String> {
        self.0.act(key)
    }

    /// See [`Lesson::judge`]; answer and grade as JSON.
    pub fn judge(&self, answer: &str) -> Result<String, String> {
        Ok(serde_json::json!(self.0.judge(&read(answer)?)).to_string())
    }

    /// See [`Lesson::debrief`].
    pub fn debrief(&self) -> Result<String, String> {
        self.0.debrief()
    }
}

/// See [`point::steady`].
#[wasm_bindgen]
pub fn steady(vehicle: &str, scenario: &str) -> Result<String, String> {
    point::steady(vehicle, scenario)
}

/// See [`point::catalogue`].
#[wasm_bindgen]
pub fn catalogue(vehicle: &str) -> Result<String, String> {
    point::catalogue(vehicle)
}

/// See [`locked::lock`]: secret, keys and what comes as JSON.
#[wasm_bindgen]
pub fn lock_exercise(
    vehicle: &str,
    secret: &str,
    keys: &str,
    chance: &[u8],
) -> Result<String, String> {
    let locked = locked::lock(vehicle, &read(secret)?, &read(keys)?, chance)?;
    Ok(serde_json::json!(locked).to_string())
}

/// See [`locked::unlock`]; what is locked as JSON.
#[wasm_bindgen]
pub fn unlock_exercise(
    vehicle: &str,
    exercise: &str,
    part: &str,
    key: &str,
) -> Result<String, String> {
    locked::unlock(vehicle, &read(exercise)?, part, key)
}

/// See [`locked::tests`].
#[wasm_bindgen]
pub fn exercise_tests(vehicle: &str) -> Result<String, String> {
    locked::tests(vehicle)
}

/// See [`seal::receipt`].
#[wasm_bindgen]
pub fn receipt(text: &str) -> Result<String, String> {
    seal::receipt(text)
}

/// See [`seal::passphrase`].
#[wasm_bindgen]
pub fn passphrase(chance: &[u8]) -> Result<String, String> {
    let chance = chance.try_into();
    let chance =
        chance.map_err(|_| format!("a passphrase needs {} bytes of chance", seal::PHRASE))?;
    Ok(seal::passphrase(chance))
}

#[wasm_bindgen]
extern "C" {
    /// What the page's worker does with what is known of an answer that takes longer.
    #[wasm_bindgen(js_name = falseairFirst)]
    fn first(answer: &str);
}

/// A command's answer of files that are handed over as texts: `question` and `files`
/// (`{"job.toml": "..."}`) as JSON; see [`falseair::ask`].
#[wasm_bindgen]
pub fn ask(question: &str, files: &str) -> String {
    falseair::ask::ask(question, files, &mut first)
}
