//! Current-data parameters of the diagnostic standard, as the engine computer
//! puts them on the bus: a whole number of steps in one or two bytes.
//!
//! Source: SAE J1979, appendix B (the same scalings in ISO 15031-5). Marks: S the
//! published text was seen in excerpt, M from memory. Limits: parameters of one
//! bank and the first sensor; of the wide-range sensors the ratio only.

/// One parameter: what its bytes mean.
///
/// The value is `number · numerator / denominator + offset`, where `number` is
/// the byte A, or 256 A + B.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parameter {
    /// Parameter identifier.
    pub pid: u8,
    /// The standard's own words.
    pub name: &'static str,
    /// Unit of the value; empty for a plain ratio.
    pub unit: &'static str,
    /// Data bytes used here, 1 or 2 (A, or A and B).
    pub bytes: usize,
    /// Step times `denominator`.
    pub numerator: f64,
    /// See `numerator`.
    pub denominator: f64,
    /// Value at number 0.
    pub offset: f64,
}

macro_rules! parameters {
    ( $( $(#[doc = $doc:literal])+ $name:ident: $pid:literal $words:literal $unit:literal,
         $bytes:literal, $numerator:literal / $denominator:literal + $offset:expr; )+ ) => {
        $( $(#[doc = $doc])+ pub const $name: Parameter = Parameter {
            pid: $pid, name: $words, unit: $unit, bytes: $bytes,
            numerator: $numerator, denominator: $denominator, offset: $offset,
        }; )+

        /// Every parameter here, by rising identifier.
        pub const PARAMETERS: &[Parameter] = &[ $( $name ),+ ];
    };
}

parameters! {
    /// 100 A/255 % (S).
    CALCULATED_LOAD: 0x04 "Calculated LOAD Value" "%", 1, 100.0 / 255.0 + 0.0;
    /// 100 A/128 − 100 %: positive adds fuel (S).
    SHORT_TERM_TRIM: 0x06 "Short Term Fuel Trim - Bank 1" "%", 1, 100.0 / 128.0 + -100.0;
    /// 100 A/128 − 100 %: positive adds fuel (S).
    LONG_TERM_TRIM: 0x07 "Long Term Fuel Trim - Bank 1" "%", 1, 100.0 / 128.0 + -100.0;
    /// A kPa, absolute (S). Above 255 kPa it stands at 255.
    MANIFOLD_PRESSURE: 0x0B "Intake Manifold Absolute Pressure" "kPa", 1, 1.0 / 1.0 + 0.0;
    /// (256 A + B)/4 rpm (S).
    ENGINE_SPEED: 0x0C "Engine RPM" "rpm", 2, 1.0 / 4.0 + 0.0;
    /// A km/h (M).
    VEHICLE_SPEED: 0x0D "Vehicle Speed Sensor" "km/h", 1, 1.0 / 1.0 + 0.0;
    /// A − 40 °C (S).
    INTAKE_TEMPERATURE: 0x0F "Intake Air Temperature" "°C", 1, 1.0 / 1.0 + -40.0;
    /// (256 A + B)/100 g/s (S).
    AIR_FLOW: 0x10 "Air Flow Rate from Mass Air Flow Sensor" "g/s", 2, 1.0 / 100.0 + 0.0;
    /// 100 A/255 % (M).
    THROTTLE_POSITION: 0x11 "Absolute Throttle Position" "%", 1, 100.0 / 255.0 + 0.0;
    /// 2 (256 A + B)/65536; bytes C and D, the voltage, are not read here (M).
    LAMBDA_WITH_VOLTAGE: 0x24 "Equivalence Ratio (lambda), Bank 1 - Sensor 1 (wide range O2S, voltage)" "",
        2, 2.0 / 65_536.0 + 0.0;
    /// A kPa, absolute (M).
    BAROMETRIC_PRESSURE: 0x33 "Barometric Pressure" "kPa", 1, 1.0 / 1.0 + 0.0;
    /// 2 (256 A + B)/65536; bytes C and D, the current, are not read here (M).
    LAMBDA_WITH_CURRENT: 0x34 "Equivalence Ratio (lambda), Bank 1 - Sensor 1 (wide range O2S, current)" "",
        2, 2.0 / 65_536.0 + 0.0;
    /// 100 (256 A + B)/255 % (M): see [`absolute_load`](crate::machine::standards::absolute_load).
    ABSOLUTE_LOAD: 0x43 "Absolute Load Value" "%", 2, 100.0 / 255.0 + 0.0;
    /// 2 (256 A + B)/65536, as λ: 0.95 is rich (M).
    COMMANDED_RATIO: 0x44 "Fuel/Air Commanded Equivalence Ratio" "", 2, 2.0 / 65_536.0 + 0.0;
    /// 100 A/255 % (M).
    PEDAL_POSITION: 0x49 "Accelerator Pedal Position D" "%", 1, 100.0 / 255.0 + 0.0;
}

/// The parameter of an identifier, if it is one of [`PARAMETERS`].
pub fn parameter(pid: u8) -> Option<&'static Parameter> {
    PARAMETERS.iter().find(|parameter| parameter.pid == pid)
}

impl Parameter {
    /// Largest number the bytes hold.
    fn most(&self) -> u16 {
        if self.bytes == 1 { 0xFF } else { 0xFFFF }
    }

    fn value(&self, number: u16) -> f64 {
        f64::from(number) * self.numerator / self.denominator + self.offset
    }

    /// One step, in [`unit`](Self::unit).
    pub fn resolution(&self) -> f64 {
        self.numerator / self.denominator
    }

    /// Least and greatest value the bytes hold.
    pub fn range(&self) -> [f64; 2] {
        [self.value(0), self.value(self.most())]
    }

    /// The bytes nearest to a value in [`unit`](Self::unit), A first. Beyond the
    /// [`range`](Self::range) the bytes stand at its end (M); none for a value
    /// that is not finite.
    pub fn encode(&self, value: f64) -> Option<Vec<u8>> {
        let steps = (value - self.offset) * self.denominator / self.numerator;
        if !steps.is_finite() {
            return None;
        }
        // In range by the clamp, so the cast only drops the fraction `.0`.
        let number = steps.round().clamp(0.0, f64::from(self.most())) as u16;
        Some(number.to_be_bytes()[2 - self.bytes..].to_vec())
    }

    /// The value of the bytes, A first; none unless there are
    /// [`bytes`](Self::bytes) of them.
    pub fn decode(&self, data: &[u8]) -> Option<f64> {
        let number = match *data {
            [a] if self.bytes == 1 => u16::from(a),
            [a, b] if self.bytes == 2 => u16::from_be_bytes([a, b]),
            _ => return None,
        };
        Some(self.value(number))
    }
}
