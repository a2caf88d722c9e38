//! How much thread must stay engaged.

use super::Thread;
use crate::quantity::{Length, Stress};
use serde::{Deserialize, Serialize};

/// What an internal thread is cut in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Steel.
    #[default]
    Steel,
    /// Aluminium alloy.
    Aluminium,
}

/// Tensile strength taken for a steel insert that says none: the least of S355 (EN 10025-2).
pub const STEEL: Stress = Stress::mpa(470.0);
/// Tensile strength taken for an aluminium insert that says none: the least of 6061-T6 (ASTM B221).
pub const ALUMINIUM: Stress = Stress::mpa(260.0);
/// Tensile strength taken for cast iron: EN-GJL-200 (EN 1561).
pub const CAST_IRON: Stress = Stress::mpa(200.0);
/// Tensile strength taken for a shank that says none: class 8.8 (ISO 898-1).
pub const SHANK: Stress = Stress::mpa(800.0);

impl Material {
    /// The tensile strength taken where none is given.
    pub const fn tensile(self) -> Stress {
        match self {
            Self::Steel => STEEL,
            Self::Aluminium => ALUMINIUM,
        }
    }
}

/// A shank and what it screws into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// Tensile strength of the shank.
    pub shank: Stress,
    /// What the insert is made of, which decides the shop rule.
    pub material: Material,
    /// Tensile strength of the insert.
    pub insert: Stress,
}

impl Pair {
    /// A pair of usual strength.
    pub const fn usual(material: Material) -> Self {
        Self {
            shank: SHANK,
            material,
            insert: material.tensile(),
        }
    }
}

/// The engaged length an adjuster's thread needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engagement {
    /// Below this it is not safe: the larger of the two below.
    pub least: Length,
    /// Below this it is less than a shop likes for a rod end.
    pub preferred: Length,
    /// By the shop rule.
    pub shop: Length,
    /// So that the shank breaks before the insert strips.
    pub strip: Length,
    /// J: how much weaker the insert's thread is than the shank's; 1 or less where it is not.
    pub weaker: f64,
    /// The rule that governs, in words.
    pub rule: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The engaged length an adjuster on this thread needs: the larger of the shop rule and the length at which the shank breaks before the insert
/// strips.
///
/// Shop rule: in steel one diameter at least and one and a half preferred for a rod end, which also bends (common practice, no source); in
/// aluminium two diameters (US Army TM 5-3895-367-14&P, H-2). Stripping (FED-STD-H28/2, Machinery's Handbook): `Le = 2 At / (As/L)` in metal of equal
/// strength, times `J = (As · shank) / (An · insert)` where the insert's thread is the weaker, with As and An the areas in which bolt and nut
/// thread shear.
///
/// Strengths must be more than zero.
pub fn engagement(thread: Thread, pair: Pair) -> Engagement {
    let d = thread.diameter();
    let shop = match pair.material {
        Material::Steel => d,
        Material::Aluminium => d * 2.0,
    };
    let bolt = thread.bolt_shear_per_length();
    let weaker = (bolt / thread.nut_shear_per_length()) * (pair.shank / pair.insert);
    let strip = breaks_first(thread, bolt) * weaker.max(1.0);
    let preferred = match pair.material {
        Material::Steel => d * 1.5,
        Material::Aluminium => d * 2.0,
    };
    let least = shop.max(strip);
    let (rule, source) = match pair.material {
        _ if strip > shop => (
            "so that the shank breaks before the insert strips",
            "FED-STD-H28/2, Machinery's Handbook",
        ),
        Material::Steel => (
            "steel insert: 1 diameter at least, 1.5 preferred for a rod end",
            "common practice, no source",
        ),
        Material::Aluminium => (
            "aluminium insert: 2 diameters at least",
            "US Army TM 5-3895-367-14&P, H-2",
        ),
    };
    Engagement {
        least,
        preferred: preferred.max(least),
        shop,
        strip,
        weaker,
        rule,
        source,
    }
}

/// The engaged length at which a bolt breaks before its thread strips in metal of the same strength (FED-STD-H28/2, Machinery's Handbook):
/// `Le = 2 At / (π K (1/2 + 0.57735 n (E − K)))`, with the nut's largest minor diameter K and the bolt's smallest pitch diameter E.
pub fn equal_strength_length(thread: Thread) -> Length {
    breaks_first(thread, thread.bolt_shear_per_length())
}

/// Twice the stress area, as shear strength is half of tensile strength, over the area that shears per length.
fn breaks_first(thread: Thread, shear_per_length: Length) -> Length {
    Length::metres(2.0 * thread.stress_area().as_square_metres() / shear_per_length.as_metres())
}
