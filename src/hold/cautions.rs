//! What each hazard asks for.
//!
//! In: a kind of caution. Out: the hazard, the usual precautions, and whose word comes first. Usual
//! practice of the trade, no more: local codes, the event's rule book, the makers' instructions and
//! trained or licensed people come first.

use crate::book::Caution;

/// One entry of the list of cautions.
#[derive(Clone, Copy, Debug)]
pub struct CautionText {
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
pub fn entry(caution: Caution) -> CautionText {
    let row = ENTRIES.iter().find(|(kind, _)| *kind == caution);
    let [title, hazard, precautions, first_word] = row.map_or([""; 4], |(_, words)| *words);
    CautionText {
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
            "Fuel vapour burns and explodes. It collects at the lowest place.",
            "Keep flames and sparks away. Drain outdoors into a closed can, ventilate the shop and keep an extinguisher within reach. Cap open lines, and leak-test them before use.",
            "fire code, event rule book",
        ],
    ),
    (
        Caution::Lifting,
        [
            "Lifting",
            "A load that slips or tips can crush you.",
            "Never rely on a jack alone. Set rated stands on level ground before anyone reaches in. Use rated slings, keep clear below, and let one person give signals.",
            "maker of the lifting gear, trained people",
        ],
    ),
    (
        Caution::UnderVehicle,
        [
            "Under the vehicle",
            "A falling vehicle kills.",
            "Use rated stands or a lift, and chock the wheels. Rock the vehicle to prove it stable before going under. Never work alone.",
            "maker of the stands or the lift",
        ],
    ),
    (
        Caution::HotWork,
        [
            "Hot work",
            "Sparks and heat can start a fire nearby, even long afterwards.",
            "Remove or cover anything that can burn, and disconnect the battery. Keep an extinguisher within reach. Keep a fire watch for at least half an hour afterwards. Wear a welding shade and dry gloves.",
            "fire code, qualified welders for load-bearing parts",
        ],
    ),
    (
        Caution::FumesDust,
        [
            "Fumes and dust",
            "Solvent and paint fumes, brake dust and fibre dust harm the lungs.",
            "Use extraction or work in open air, and wear the right mask. Never blow dust off with compressed air. Wash your hands.",
            "safety data sheets",
        ],
    ),
    (
        Caution::HotSurface,
        [
            "Hot surfaces",
            "Hot parts burn skin.",
            "Let parts cool first. Wear gloves. Fit guards and warning labels where people can reach.",
            "maker’s instructions",
        ],
    ),
    (
        Caution::HighVoltage,
        [
            "High voltage",
            "Direct current above 60 V can kill. An arc does not go out by itself.",
            "Isolate, lock off and wait for the capacitors to discharge. Prove it dead with a meter that you prove before and after. Never work alone. Use insulated tools and gloves. Fit fuses and contactors rated for direct current.",
            "electrical code, event rule book, a trained person",
        ],
    ),
    (
        Caution::Battery,
        [
            "Battery",
            "Short circuits melt tools. Damaged cells can catch fire again.",
            "Take off rings, cover terminals and use insulated tools. Never charge unattended. Store damaged cells outdoors and apart.",
            "maker’s instructions, fire code",
        ],
    ),
    (
        Caution::Rotating,
        [
            "Turning parts",
            "A broken shaft flies outwards. A turning shaft pulls in loose clothes and hair.",
            "Keep everyone out of the plane it turns in. Fit a guard and a safety loop. Balance the shaft and use new locking fasteners. Tie back hair and wear nothing loose. Make the first run at low speed, from outside the vehicle.",
            "maker of the shaft, event rule book",
        ],
    ),
    (
        Caution::Machining,
        [
            "Machine tools",
            "Cutters can grab, and chips fly.",
            "Clamp the work, remove the chuck key and wear eye protection. Never wear gloves near a turning spindle. Removing material from a rated part ends its rating.",
            "maker of the machine, trained people",
        ],
    ),
    (
        Caution::Brakes,
        [
            "Brakes",
            "Nothing can make up for a failed brake.",
            "Use the maker’s parts and torques, and new seals and pins. Bleed and leak-test the system, and have a second person check it. Make the first test at walking pace. Calculations never approve a brake.",
            "event rule book, maker’s instructions, licensed inspection",
        ],
    ),
    (
        Caution::Steering,
        [
            "Steering",
            "A joint that comes apart causes a crash.",
            "Never use loose shims. Use new locking fasteners. Check that it turns freely from lock to lock, at full bump and full droop. Have a second person check it.",
            "event rule book, maker’s instructions",
        ],
    ),
    (
        Caution::Restraint,
        [
            "Seats, belts and cages",
            "Seats, belts and cages must hold when everything else fails.",
            "Use rated parts that are within their date. Follow the maker’s mounts and angles. Have a second person check them.",
            "event rule book, maker’s instructions",
        ],
    ),
    (
        Caution::Structure,
        [
            "Structure",
            "Load-bearing parts can crack where they were cut, drilled or welded.",
            "Have qualified people weld it. Round the edges, and fit doublers where you drill. Inspect it again after the first run.",
            "qualified engineer, local codes",
        ],
    ),
    (
        Caution::StoredSpring,
        [
            "Springs under load",
            "A spring that comes free can kill.",
            "Keep everyone out of line with the spring. Use the right compressor. Release the load before you undo fasteners.",
            "maker of the compressor",
        ],
    ),
    (
        Caution::Pressure,
        [
            "Pressure",
            "Hoses whip, and fluid under pressure cuts skin.",
            "Release the pressure first. Wear eye protection. Use rated gauges and fittings. Test with fluid, never with air.",
            "maker’s instructions",
        ],
    ),
    (
        Caution::Tyres,
        [
            "Tyres and wheels",
            "A burst tyre or a lost wheel can kill.",
            "Keep pressure and speed within the maker’s rating. Tighten wheel fasteners to torque, and again after the first run. Check clearance at full lock and full bump.",
            "maker of the tyre, event rule book",
        ],
    ),
    (
        Caution::FirstMove,
        [
            "First move",
            "No one knows yet how the vehicle will behave.",
            "Clear the hold list first. Keep everyone out of the way. Run it first with the wheels off the ground. Then use a closed course, at walking pace. Keep a cut-off within reach of two people.",
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
