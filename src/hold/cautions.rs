//! What each hazard asks for.
//!
//! In: a kind of caution. Out: the hazard, the usual precautions, and whose word comes first. Usual
//! practice of the trade, no more: local codes, the event's rule book, the makers' instructions and
//! trained or licensed people come first.

use crate::book::Caution;

/// One entry of the list of cautions.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// The heading.
    pub title: &'static str,
    /// What can happen.
    pub hazard: &'static str,
    /// What is usually done about it.
    pub precautions: &'static str,
    /// Whose word comes first.
    pub first_word: &'static str,
}

/// The entry of a caution.
pub fn entry(caution: Caution) -> Entry {
    let row = ENTRIES.iter().find(|(kind, _)| *kind == caution);
    let [title, hazard, precautions, first_word] = row.map_or([""; 4], |(_, words)| *words);
    Entry {
        title,
        hazard,
        precautions,
        first_word,
    }
}

/// Title, hazard, precautions, whose word comes first.
const ENTRIES: &[(Caution, [&str; 4])] = &[
    (
        Caution::Fuel,
        [
            "Fuel",
            "Fuel vapour burns and explodes; it runs to the lowest place.",
            "Drain outdoors into a closed can, no flame or spark near, air through the shop, an extinguisher within reach, lines capped and leak-tested.",
            "fire code, event rule book",
        ],
    ),
    (
        Caution::Lifting,
        [
            "Lifting",
            "A load that slips or tips crushes.",
            "A jack alone is never a support: rated stands on level ground before anybody reaches in, rated slings, nobody below, one person gives the signs.",
            "maker of the lifting gear, trained people",
        ],
    ),
    (
        Caution::UnderVehicle,
        [
            "Under the vehicle",
            "A vehicle that comes down kills.",
            "Rated stands or a lift, wheels chocked, shaken before anybody goes below, somebody else in the shop.",
            "maker of the stands or the lift",
        ],
    ),
    (
        Caution::HotWork,
        [
            "Hot work",
            "Sparks and heat light what is near, long after as well.",
            "Clear or cover what burns, battery disconnected, extinguisher and a fire watch for half an hour after, shade for the eyes, dry gloves.",
            "fire code, qualified welders for what carries loads",
        ],
    ),
    (
        Caution::FumesDust,
        [
            "Fumes and dust",
            "Solvent, paint, brake and fibre dust harm the lungs.",
            "Extraction or open air, the right mask, no dry blowing, wash hands.",
            "safety data sheets",
        ],
    ),
    (
        Caution::HotSurface,
        [
            "Hot surfaces",
            "Burns.",
            "Let it cool, gloves, guards and marks where people reach.",
            "maker’s instructions",
        ],
    ),
    (
        Caution::HighVoltage,
        [
            "High voltage",
            "Direct current above 60 V can kill, and an arc does not go out by itself.",
            "Isolate, lock off, prove dead with a meter proved before and after, wait out the capacitors, never alone, insulated tools and gloves; fuses and contactors rated for direct current.",
            "electrical code, event rule book, a trained person",
        ],
    ),
    (
        Caution::Battery,
        [
            "Battery",
            "Short circuits melt tools; damaged cells burn again.",
            "Rings off, terminals covered, insulated tools, charge under watch, damaged cells outdoors and apart.",
            "maker’s instructions, fire code",
        ],
    ),
    (
        Caution::Rotating,
        [
            "Turning parts",
            "A shaft that lets go flies out of its plane; loose things are drawn in.",
            "Guard and loop, balanced, new locking fasteners, no loose clothes or hair, nobody in its plane, first run at low speed and from outside.",
            "maker of the shaft, event rule book",
        ],
    ),
    (
        Caution::Machining,
        [
            "Machine tools",
            "Cutters catch, chips fly.",
            "Work clamped, key out, eyes covered, no gloves at turning spindles. Material taken off a rated part: its rating no longer stands.",
            "maker of the machine, trained people",
        ],
    ),
    (
        Caution::Brakes,
        [
            "Brakes",
            "A brake that fails cannot be made up for.",
            "Maker’s parts and torques, new seals and pins, bled and leak-tested, checked by a second person, first tried at walking pace. Sums about brakes approve nothing.",
            "event rule book, maker’s instructions, licensed inspection",
        ],
    ),
    (
        Caution::Steering,
        [
            "Steering",
            "A joint that lets go ends in a crash.",
            "No loose shims, new locking fasteners, free from lock to lock with the suspension at both ends, checked by a second person.",
            "event rule book, maker’s instructions",
        ],
    ),
    (
        Caution::Restraint,
        [
            "Seats, belts and cages",
            "They must hold when everything else has failed.",
            "Rated parts within their date, mounts and angles as the maker shows, checked by a second person.",
            "event rule book, maker’s instructions",
        ],
    ),
    (
        Caution::Structure,
        [
            "Structure",
            "What carries the vehicle may crack where it was cut, drilled or welded.",
            "Edges rounded, doublers where drilled, welds by qualified people, looked at again after the first run.",
            "qualified engineer, local codes",
        ],
    ),
    (
        Caution::StoredSpring,
        [
            "Springs under load",
            "A spring that comes free strikes like a shot.",
            "The right compressor, load let off before fasteners, nobody in line with it.",
            "maker of the compressor",
        ],
    ),
    (
        Caution::Pressure,
        [
            "Pressure",
            "Hoses whip, fluid cuts skin.",
            "Let off the pressure first, gauges and fittings rated, test with fluid and not with air, eyes covered.",
            "maker’s instructions",
        ],
    ),
    (
        Caution::Tyres,
        [
            "Tyres and wheels",
            "A tyre that bursts or a wheel that comes off.",
            "Pressure and speed within the maker’s rating, wheel fasteners by torque and again after the first run, clear of everything at full lock and bump.",
            "maker of the tyre, event rule book",
        ],
    ),
    (
        Caution::FirstMove,
        [
            "First move",
            "Nobody knows yet what it does.",
            "Hold list empty, wheels off the ground first, closed course, cut-off within reach of two people, everybody out of the way, walking pace.",
            "event rule book, local law",
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_has_its_entry() {
        assert!(
            Caution::ALL
                .iter()
                .all(|caution| !entry(*caution).precautions.is_empty())
        );
    }
}
