//! What kind of quantity a number is: exponents of the base dimensions.
//!
//! In: units and arithmetic. Out: exponents, and plain words for messages. Angle and money count as
//! dimensions of their own: an angle is never taken for a plain number, nor a price for a mass.

/// Exponents of length, mass, time, current, temperature, angle and money, in twelfths, so that
/// square, cube and fourth roots are exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Dimension([i16; BASES]);

const BASES: usize = 7;
const ANGLE: usize = 5;
const MONEY: usize = 6;
const WHOLE: i16 = 12;
/// Beyond this exponent nobody measures anything; it also keeps the arithmetic from overflowing.
const FURTHEST: i32 = 12 * 16;

/// The base units, in the order of the exponents.
const SYMBOLS: [&str; BASES] = ["m", "kg", "s", "A", "K", "rad", "money"];

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self([0; BASES]);
    /// Length.
    pub const LENGTH: Self = Self::whole([1, 0, 0, 0, 0, 0, 0]);
    /// Area.
    pub const AREA: Self = Self::whole([2, 0, 0, 0, 0, 0, 0]);
    /// Volume.
    pub const VOLUME: Self = Self::whole([3, 0, 0, 0, 0, 0, 0]);
    /// Mass.
    pub const MASS: Self = Self::whole([0, 1, 0, 0, 0, 0, 0]);
    /// Time.
    pub const TIME: Self = Self::whole([0, 0, 1, 0, 0, 0, 0]);
    /// Electric current.
    pub const CURRENT: Self = Self::whole([0, 0, 0, 1, 0, 0, 0]);
    /// Temperature.
    pub const TEMPERATURE: Self = Self::whole([0, 0, 0, 0, 1, 0, 0]);
    /// Plane angle.
    pub const ANGLE: Self = Self::whole([0, 0, 0, 0, 0, 1, 0]);
    /// Money.
    pub const MONEY: Self = Self::whole([0, 0, 0, 0, 0, 0, 1]);
    /// Force.
    pub const FORCE: Self = Self::whole([1, 1, -2, 0, 0, 0, 0]);
    /// Torque, and energy.
    pub const TORQUE: Self = Self::whole([2, 1, -2, 0, 0, 0, 0]);
    /// Power.
    pub const POWER: Self = Self::whole([2, 1, -3, 0, 0, 0, 0]);
    /// Pressure.
    pub const PRESSURE: Self = Self::whole([-1, 1, -2, 0, 0, 0, 0]);
    /// Speed.
    pub const SPEED: Self = Self::whole([1, 0, -1, 0, 0, 0, 0]);
    /// Acceleration.
    pub const ACCELERATION: Self = Self::whole([1, 0, -2, 0, 0, 0, 0]);
    /// Turning speed.
    pub const TURNING: Self = Self::whole([0, 0, -1, 0, 0, 1, 0]);
    /// Density.
    pub const DENSITY: Self = Self::whole([-3, 1, 0, 0, 0, 0, 0]);
    /// Voltage.
    pub const VOLTAGE: Self = Self::whole([2, 1, -3, -1, 0, 0, 0]);
    /// Electric resistance.
    pub const RESISTANCE: Self = Self::whole([2, 1, -3, -2, 0, 0, 0]);
    /// Electric charge.
    pub const CHARGE: Self = Self::whole([0, 0, 1, 1, 0, 0, 0]);
    /// How often a second.
    pub const FREQUENCY: Self = Self::whole([0, 0, -1, 0, 0, 0, 0]);
    /// Spring rate.
    pub const SPRING_RATE: Self = Self::whole([0, 1, -2, 0, 0, 0, 0]);

    /// Mass in a time.
    pub const MASS_FLOW: Self = Self::whole([0, 1, -1, 0, 0, 0, 0]);
    /// Volume in a time.
    pub const VOLUME_FLOW: Self = Self::whole([3, 0, -1, 0, 0, 0, 0]);
    /// Mass of fuel for each unit of work.
    pub const CONSUMPTION: Self = Self::whole([-2, 0, 2, 0, 0, 0, 0]);
    /// Electric resistance of each length.
    pub const RESISTANCE_PER_LENGTH: Self = Self::whole([1, 1, -3, -2, 0, 0, 0]);

    const fn whole(exponents: [i16; BASES]) -> Self {
        let mut twelfths = [0; BASES];
        let mut base = 0;
        while base < BASES {
            twelfths[base] = exponents[base] * WHOLE;
            base += 1;
        }
        Self(twelfths)
    }

    /// Does it count money, be it by the kilogram?
    pub fn has_money(self) -> bool {
        self.0[MONEY] != 0
    }

    /// Dimension of a product; `None` beyond any exponent in use.
    pub fn times(self, other: Self) -> Option<Self> {
        self.combine(other, 1)
    }

    /// Dimension of a quotient; `None` beyond any exponent in use.
    pub fn over(self, other: Self) -> Option<Self> {
        self.combine(other, -1)
    }

    fn combine(self, other: Self, sign: i32) -> Option<Self> {
        let mut result = [0; BASES];
        for (base, slot) in result.iter_mut().enumerate() {
            *slot = bounded(i32::from(self.0[base]) + sign * i32::from(other.0[base]))?;
        }
        Some(Self(result))
    }

    /// Dimension of a power; `None` where an exponent would be no twelfth of a whole number.
    pub fn power(self, exponent: f64) -> Option<Self> {
        let mut result = [0; BASES];
        for (base, slot) in result.iter_mut().enumerate() {
            let exact = f64::from(self.0[base]) * exponent;
            let near = exact.round();
            if (exact - near).abs() > 1e-9 || near.abs() > f64::from(FURTHEST) {
                return None;
            }
            *slot = near as i16;
        }
        Some(Self(result))
    }

    /// Is it a plain number?
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// The same without its angle.
    #[must_use]
    pub fn without_angle(mut self) -> Self {
        self.0[ANGLE] = 0;
        self
    }

    /// Does money enter into it?
    pub fn holds_money(self) -> bool {
        self.0[6] != 0
    }

    /// May the two be added and compared? Angle is ignored only where another dimension remains:
    /// torque × turning speed is a power, but `4 + 1 deg` is nothing.
    pub fn agrees_with(self, other: Self) -> bool {
        let plain = self.without_angle();
        self == other || (plain == other.without_angle() && !plain.is_none())
    }

    /// The words for a message: `a length`, `a torque`, `a quantity in kg/m`.
    pub fn words(self) -> String {
        KNOWN
            .iter()
            .find(|(dimension, _)| *dimension == self)
            .or_else(|| {
                KNOWN
                    .iter()
                    .skip(1)
                    .find(|(dimension, _)| dimension.agrees_with(self))
            })
            .map_or_else(
                || format!("a quantity in {}", self.symbol()),
                |(_, words)| (*words).to_owned(),
            )
    }

    /// The base units it is made of: `kg·m^2/s^3`; `1` for a plain number.
    pub fn symbol(self) -> String {
        let (over, under): (Vec<_>, Vec<_>) = (0..BASES)
            .filter(|base| self.0[*base] != 0)
            .partition(|base| self.0[*base] > 0);
        let over = over
            .iter()
            .map(|base| self.factor(*base))
            .collect::<Vec<_>>()
            .join("·");
        let over = if over.is_empty() {
            "1".to_owned()
        } else {
            over
        };
        under
            .iter()
            .fold(over, |text, base| format!("{text}/{}", self.factor(*base)))
    }

    fn factor(self, base: usize) -> String {
        let twelfths = self.0[base].abs();
        match twelfths {
            WHOLE => SYMBOLS[base].to_owned(),
            _ if twelfths % WHOLE == 0 => format!("{}^{}", SYMBOLS[base], twelfths / WHOLE),
            _ => format!("{}^({twelfths}/12)", SYMBOLS[base]),
        }
    }
}

fn bounded(exponent: i32) -> Option<i16> {
    (exponent.abs() <= FURTHEST).then_some(exponent as i16)
}

const KNOWN: [(Dimension, &str); 26] = [
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::AREA, "an area"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::MASS, "a mass"),
    (Dimension::TIME, "a time"),
    (Dimension::CURRENT, "a current"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::ANGLE, "an angle"),
    (Dimension::MONEY, "an amount of money"),
    (Dimension::FORCE, "a force"),
    (Dimension::TORQUE, "a torque"),
    (Dimension::POWER, "a power"),
    (Dimension::PRESSURE, "a pressure"),
    (Dimension::SPEED, "a speed"),
    (Dimension::ACCELERATION, "an acceleration"),
    (Dimension::TURNING, "a turning speed"),
    (Dimension::DENSITY, "a density"),
    (Dimension::VOLTAGE, "a voltage"),
    (Dimension::RESISTANCE, "a resistance"),
    (Dimension::CHARGE, "a charge"),
    (Dimension::SPRING_RATE, "a spring rate"),
    (Dimension::MASS_FLOW, "a mass flow"),
    (Dimension::VOLUME_FLOW, "a volume flow"),
    (Dimension::CONSUMPTION, "a fuel consumption"),
    (Dimension::RESISTANCE_PER_LENGTH, "a resistance per length"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn torque_times_turning_speed_is_a_power_but_a_number_is_no_angle() {
        let product = Dimension::TORQUE.times(Dimension::TURNING).unwrap();
        assert!(product.agrees_with(Dimension::POWER));
        assert!(!Dimension::NONE.agrees_with(Dimension::ANGLE));
        assert!(!Dimension::FREQUENCY.agrees_with(Dimension::NONE));
    }

    #[test]
    fn roots_are_exact_and_odd_ones_are_refused() {
        assert_eq!(Dimension::AREA.power(0.5), Some(Dimension::LENGTH));
        assert_eq!(Dimension::VOLUME.power(1.0 / 3.0), Some(Dimension::LENGTH));
        assert_eq!(Dimension::LENGTH.power(0.1), None);
    }

    #[test]
    fn words_fall_back_to_base_units() {
        assert_eq!(Dimension::LENGTH.words(), "a length");
        assert_eq!(
            Dimension::MASS.over(Dimension::LENGTH).unwrap().words(),
            "a quantity in kg/m"
        );
    }
}
