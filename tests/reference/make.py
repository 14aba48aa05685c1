#!/usr/bin/env python3
"""A second reference: the same sums worked out by other hands.

Makes sums with units and spreads at random (always the same ones), works them out with `pint` (units) and
`uncertainties` (spreads, first order), and writes what each comes to. Knows the sums language only as text.

    python3 tests/reference/make.py > tests/reference/results.json
"""

import json
import math
import random
from importlib.metadata import version

import pint
from uncertainties import UFloat, umath, ufloat

SEED = 20310502
CASES = 640
FLAT_CASES = 160

registry = pint.UnitRegistry()

# Unit as a crew writes it, and as pint does; the range of a usual reading in it.
KINDS = {
    "length": [("mm", "mm", 5, 900), ("cm", "cm", 1, 90), ("m", "m", 0.2, 4), ("in", "inch", 0.5, 60),
               ("ft", "foot", 0.5, 12), ("thou", "thou", 20, 900), ("yd", "yard", 0.5, 4), ("km", "km", 0.1, 3),
               ("mi", "mile", 0.1, 3)],
    "mass": [("kg", "kg", 1, 1500), ("g", "g", 10, 900), ("t", "tonne", 0.5, 2), ("lb", "pound", 1, 4000),
             ("oz", "ounce", 1, 90)],
    "time": [("s", "s", 1, 90), ("min", "minute", 1, 50), ("h", "hour", 0.5, 12), ("ms", "ms", 10, 900),
             ("day", "day", 0.5, 9)],
    "force": [("N", "N", 10, 9000), ("kN", "kN", 1, 50), ("lbf", "force_pound", 10, 3000)],
    "torque": [("N-m", "N*m", 5, 900), ("lb-ft", "force_pound*foot", 5, 900), ("lb-in", "force_pound*inch", 50, 900),
               ("N·m", "N*m", 5, 900)],
    "turning": [("rpm", "rpm", 100, 9000), ("rad/s", "rad/s", 10, 900), ("deg/s", "degree/s", 10, 900)],
    "power": [("kW", "kW", 5, 400), ("W", "W", 100, 9000), ("hp", "horsepower", 5, 600),
              ("PS", "metric_horsepower", 5, 600)],
    "pressure": [("bar", "bar", 0.5, 9), ("psi", "psi", 5, 120), ("kPa", "kPa", 50, 900), ("MPa", "MPa", 1, 300),
                 ("Pa", "Pa", 500, 90000), ("inHg", "inHg", 5, 40), ("GPa", "GPa", 1, 210)],
    "speed": [("km/h", "km/hour", 10, 250), ("mph", "mile/hour", 10, 150), ("m/s", "m/s", 2, 90),
              ("ft/s", "foot/s", 5, 250)],
    "area": [("mm2", "mm**2", 5, 900), ("cm2", "cm**2", 2, 300), ("in2", "inch**2", 0.5, 90), ("m^2", "m**2", 0.1, 4)],
    "volume": [("cc", "cm**3", 5, 900), ("L", "liter", 0.5, 60), ("cu_in", "inch**3", 5, 500),
               ("gal", "gallon", 0.5, 20), ("mm3", "mm**3", 500, 90000)],
    "density": [("kg/m^3", "kg/m**3", 700, 9000), ("g/cm3", "g/cm**3", 0.7, 9), ("lb/cu_in", "pound/inch**3", 0.02, 0.4)],
    "angle": [("deg", "degree", 2, 70), ("rad", "rad", 0.1, 1.2)],
    "ratio": [("", "", 0.2, 9), ("%", "percent", 5, 95)],
    "current": [("A", "A", 1, 400), ("mA", "mA", 50, 900)],
    "voltage": [("V", "V", 1, 400), ("mV", "mV", 50, 900)],
    "resistance": [("ohm", "ohm", 0.1, 900), ("mohm", "mohm", 1, 900)],
    "rate": [("N/mm", "N/mm", 5, 200), ("lbf/in", "force_pound/inch", 50, 900), ("kN/m", "kN/m", 5, 200)],
}

# How one kind comes out of others: kind, text, and what to do with the magnitudes in base units.
PRODUCTS = {
    "length": [("area", "/", "length"), ("volume", "/", "area"), ("torque", "/", "force"), ("speed", "*", "time"),
               ("force", "/", "rate")],
    "area": [("length", "*", "length"), ("volume", "/", "length"), ("force", "/", "pressure")],
    "volume": [("area", "*", "length"), ("mass", "/", "density"), ("torque", "/", "pressure")],
    "mass": [("density", "*", "volume")],
    "time": [("length", "/", "speed"), ("torque", "/", "power")],
    "force": [("pressure", "*", "area"), ("torque", "/", "length"), ("power", "/", "speed"), ("rate", "*", "length")],
    "torque": [("force", "*", "length"), ("power", "/", "turning"), ("power", "*", "time")],
    "power": [("force", "*", "speed"), ("torque", "*", "turning"), ("voltage", "*", "current"),
              ("torque", "/", "time")],
    "pressure": [("force", "/", "area"), ("torque", "/", "volume")],
    "speed": [("length", "/", "time"), ("power", "/", "force")],
    "voltage": [("current", "*", "resistance"), ("power", "/", "current")],
    "current": [("voltage", "/", "resistance"), ("power", "/", "voltage")],
    "resistance": [("voltage", "/", "current")],
    "rate": [("force", "/", "length")],
    "density": [("mass", "/", "volume")],
    "turning": [("angle", "/", "time")],
    "angle": [("turning", "*", "time")],
    "ratio": [("length", "/", "length"), ("mass", "/", "mass"), ("power", "/", "power"), ("force", "/", "force")],
}


class Unfit(Exception):
    """The sum has no number, or loses its figures on the way: not one to compare by."""


class Sum:
    """One sum as it is made: its readings, and the parts that may be read again."""

    def __init__(self, dice):
        self.dice = dice
        self.readings = []
        self.by_kind = {}
        self.kinds = set()
        self.angle_stays = False

    def reading(self, kind):
        known = self.by_kind.setdefault(kind, [])
        if known and self.dice.random() < 0.4:
            return self.dice.choice(known)
        written, named, low, high = self.dice.choice(KINDS[kind])
        number = float(f"{self.dice.uniform(low, high):.5g}")
        spread = float(f"{number * self.dice.uniform(0.0005, 0.03):.3g}")
        name = f"{kind}_{len(self.readings) + 1}"
        exact = self.dice.random() < 0.15
        text = f"{number!r}" if exact else f"{number!r} ± {spread!r}"
        self.readings.append(f"{name} {'=' if exact else 'measured'} {text} {written}".rstrip())
        factor = registry.Quantity(1.0, named).to_base_units().magnitude
        value = (number if exact else ufloat(number, spread)) * factor
        known.append((name, value))
        return name, value

    def part(self, kind, depth):
        """Text and value in base units of a part of the sum."""
        self.kinds.add(kind)
        roll = self.dice.random()
        if depth == 0 or roll < 0.15:
            return self.reading(kind)
        if roll < 0.4:
            return self.total(kind, depth)
        if roll < 0.55:
            return self.scaled(kind, depth)
        if roll < 0.85 and kind in SHAPES:
            return self.dice.choice(SHAPES[kind])(self, depth - 1)
        left, sign, right = self.dice.choice(PRODUCTS[kind])
        self.angle_stays |= right == "turning"
        (a, x), (b, y) = self.part(left, depth - 1), self.part(right, depth - 1)
        return f"({a} {sign} {b})", x * y if sign == "*" else quotient(x, y)

    def total(self, kind, depth):
        (a, x), (b, y) = self.part(kind, depth - 1), self.part(kind, depth - 1)
        if self.dice.random() < 0.5:
            return f"({a} + {b})", whole(x + y, x)
        return f"({a} - {b})", (x - y) if a == b else whole(x - y, x)

    def scaled(self, kind, depth):
        (a, x) = self.part(kind, depth - 1)
        form = self.dice.randrange(4)
        number = float(f"{self.dice.uniform(0.2, 5):.3g}")
        if form == 0:
            return f"({number!r} * {a})", number * x
        if form == 1:
            return f"(-{a})", -x
        if form == 2:
            return f"abs({a})", -x if nominal(x) < 0 else x
        (b, y) = self.part("ratio", depth - 1)
        return f"({a} * {b})", x * y


def nominal(x):
    return x.nominal_value if isinstance(x, UFloat) else float(x)


def whole(result, part):
    """A sum or difference that kept its figures."""
    if abs(nominal(result)) < 1e-3 * abs(nominal(part)):
        raise Unfit
    return result


def quotient(x, y):
    if nominal(y) == 0:
        raise Unfit
    return x / y


def between(x, low, high):
    if not low < nominal(x) < high:
        raise Unfit
    return x


def square_root(kind):
    def shape(made, depth):
        (a, x) = made.part(kind, depth)
        return f"sqrt({a})", umath.sqrt(between(x, 1e-12, math.inf))
    return shape


def cube_root_of_volume(made, depth):
    (a, x) = made.part("volume", depth)
    return f"({a})^(1/3)", between(x, 1e-12, math.inf) ** (1 / 3)


def square_of_length(made, depth):
    (a, x) = made.part("length", depth)
    return f"({a})^2", between(x, 1e-6, math.inf) ** 2


def power_of_ratio(made, depth):
    (a, x) = made.part("ratio", depth)
    n = made.dice.choice([-1.5, -1, 0.25, 0.5, 1.7, 2, 3])
    exponent = f"({n})" if n < 0 else f"{n}"
    return f"({a})^{exponent}", between(x, 1e-6, 1e6) ** n


def of_angle(name, function):
    def shape(made, depth):
        (a, x) = made.part("angle", depth)
        return f"{name}({a})", function(between(x, -1.4, 1.4))
    return shape


def angle_of(name, function, low, high):
    def shape(made, depth):
        (a, x) = made.part("ratio", depth)
        return f"{name}({a} / 8)", function(between(x / 8, low, high))
    return shape


def angle_of_sides(made, depth):
    (a, x), (b, y) = made.part("length", depth), made.part("length", depth)
    if nominal(x) == 0 and nominal(y) == 0:
        raise Unfit
    return f"atan2({a}, {b})", umath.atan2(x, y)


SHAPES = {
    "length": [square_root("area"), cube_root_of_volume],
    "area": [square_of_length],
    "ratio": [power_of_ratio, square_root("ratio"), of_angle("sin", umath.sin), of_angle("cos", umath.cos),
              of_angle("tan", umath.tan)],
    "angle": [angle_of("asin", umath.asin, -0.99, 0.99), angle_of("acos", umath.acos, -0.99, 0.99),
              angle_of("atan", umath.atan, -1e6, 1e6), angle_of_sides],
}


def case(dice):
    """One sum and what it comes to; raises Unfit where it comes to nothing worth comparing."""
    made = Sum(dice)
    kind = dice.choice(list(PRODUCTS) + 5 * ["ratio", "angle"])
    try:
        text, value = made.part(kind, dice.choice([2, 2, 3, 3, 4]))
    except (ValueError, ZeroDivisionError, OverflowError):
        raise Unfit from None
    # Torque times turning speed is a power that still holds an angle: a bare ratio of such is none in a sums block.
    if made.angle_stays and made.kinds & {"ratio", "angle"}:
        raise Unfit
    written, named, *_ = dice.choice(KINDS[kind])
    factor = registry.Quantity(1.0, named).to_base_units().magnitude
    return compared(made, text, value, (written, factor))


def compared(made, text, value, shown_in):
    """What is compared of a sum."""
    written, factor = shown_in
    if not isinstance(value, UFloat) or not 1e-30 < abs(value.nominal_value) < 1e30 or len(text) > 600:
        raise Unfit
    parts = [abs(part) for part in value.error_components().values()]
    rss = math.hypot(*parts)
    if rss < 1e-7 * abs(value.nominal_value) or not math.isfinite(rss):
        raise Unfit
    return {
        "readings": made.readings,
        "sum": f"r = {text} as {written}" if written else f"r = {text}",
        "nominal": value.nominal_value,
        "rss": rss,
        "worst": math.fsum(parts),
        "shown": value.nominal_value / factor if written else None,
    }


def flat_sum(dice, names):
    """A sum of plain numbers without brackets: what binds tighter must be known."""
    pieces = []
    for place in range(dice.randrange(3, 9)):
        sign = "" if place == 0 else f" {dice.choice('+-*/')} "
        minus = dice.choice(["", "", "", "-"])
        power = dice.choice(["", "", "", "^2", "^3", "^-1", "^0.5", f"^{dice.choice(names)}"])
        pieces.append(f"{sign}{minus}{dice.choice(names)}{power}")
    return "".join(pieces)


def condition(dice, names):
    parts = []
    for place in range(dice.randrange(1, 5)):
        joint = "" if place == 0 else dice.choice([" and ", " or "])
        refuse = dice.choice(["", "", "not "])
        a, b = dice.sample(names, 2)
        parts.append(f"{joint}{refuse}{a} {dice.choice('<>')} {b} {dice.choice('+-')} {dice.choice(names)}")
    return "".join(parts)


def bound(text, values):
    """What Python makes of a text that was made above."""
    return eval(text.replace("^", "**"), {}, values)


def flat_case(dice):
    """A sum as Python itself binds it."""
    made = Sum(dice)
    while len(made.by_kind.get("ratio", [])) < 5:
        made.reading("ratio")
    values = {name: value for name, value in made.by_kind["ratio"]}
    if len(values) < 4:
        raise Unfit
    names = list(values)
    text = flat_sum(dice, names)
    asked = text
    if dice.random() < 0.3:
        when, other = condition(dice, names), flat_sum(dice, names)
        holds = bound(when, {name: nominal(value) for name, value in values.items()})
        asked = text if holds else other
        text = f"if({when}, {text}, {other})"
    try:
        value = bound(asked, values)
    except (ValueError, ZeroDivisionError, OverflowError):
        raise Unfit from None
    return compared(made, text, value, ("", 1.0))


def enough(dice, make, count):
    cases = []
    while len(cases) < count:
        try:
            cases.append(make(dice))
        except Unfit:
            continue
    return cases


def main():
    dice = random.Random(SEED)
    cases = enough(dice, case, CASES) + enough(dice, flat_case, FLAT_CASES)
    made_with = {name: version(name) for name in ("pint", "uncertainties")}
    lines = ",\n".join(json.dumps(one, ensure_ascii=False) for one in cases)
    print(f'{{"seed": {SEED}, "made_with": {json.dumps(made_with)}, "cases": [\n{lines}\n]}}')


if __name__ == "__main__":
    main()
