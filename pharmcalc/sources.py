"""Where every rule and number comes from, and how well we know it.

``seen`` says how the source was met: ``"seen"`` (read), ``"second-hand"`` (read in a copy or quotation that may differ
from the edition named), ``"memory"`` (recalled; read the original before quoting it) or ``"practice"`` (what is
commonly taught; there is no single source).
"""

from dataclasses import dataclass
from typing import Literal

__all__ = ["SOURCES", "Source", "source"]

Seen = Literal["seen", "second-hand", "memory", "practice"]


@dataclass(frozen=True)
class Source:
    """One source: a short key, how it is cited, and how it was met."""

    key: str
    citation: str
    seen: Seen

    def __str__(self) -> str:
        note = {
            "seen": "",
            "second-hand": " (numbers met second-hand; editions differ)",
            "memory": " (from memory; check the original)",
            "practice": " (common practice, no single source)",
        }
        return self.citation + note[self.seen]


SOURCES = {
    entry.key: entry
    for entry in (
        Source(
            "ansel-measurement",
            "Ansel & Stoklosa, Pharmaceutical Calculations, chapter on measurement",
            "second-hand",
        ),
        Source("unc-weighing", "UNC, Pharmaceutics and Compounding Laboratory, Weighing", "seen"),
        Source("unc-trituration", "UNC, Pharmaceutics and Compounding Laboratory, Trituration Method", "seen"),
        Source("unc-liquid", "UNC, Pharmaceutics and Compounding Laboratory, Liquid Aliquot Method", "seen"),
        Source("unc-powders", "UNC, Pharmaceutics and Compounding Laboratory, powders laboratory", "seen"),
        Source(
            "usp-1176",
            "USP 29, general chapter <1176> Prescription balances and volumetric apparatus",
            "seen",
        ),
        Source(
            "usp-41",
            "USP general chapter <41> Balances, in force since December 2013 (2 s, 0.10 %, 820 d)",
            "second-hand",
        ),
        Source("usp-41-floor", "USP general chapter <41> Balances, the floor s >= 0.41 d", "memory"),
        Source("usp-41-old", "USP 35 general chapter <41>, the rule before December 2013 (3 s)", "seen"),
        Source(
            "usp-41-accuracy",
            "USP general chapter <41> Balances, accuracy test (0.10 %; test weight 5 % to 100 % of the capacity)",
            "second-hand",
        ),
        Source(
            "usp-41-test-weight",
            "USP general chapter <41> Balances, accuracy test: the error of the weight at most one third of the limit",
            "memory",
        ),
        Source("usp-1251", "USP general chapter <1251> Weighing on an analytical balance (safety factor)", "memory"),
        Source("oiml-r76", "OIML R 76-1:2006, Non-automatic weighing instruments, Tables 3 and 6", "second-hand"),
        Source("oiml-r76-auxiliary", "OIML R 76-1:2006, 3.4.3, minimum capacity with an auxiliary digit", "memory"),
        Source("oiml-r76-weights", "OIML R 76-1:2006, 3.7.1, test weights: at most one third of the limit", "memory"),
        Source("oiml-r76-rounding", "OIML R 76-1:2006, A.4.4.3, error before rounding", "memory"),
        Source(
            "handbook-44",
            "NIST Handbook 44, section 2.20 Scales, Table 3 with its note 2, and the class III tolerance steps",
            "second-hand",
        ),
        Source(
            "handbook-44-memory",
            "NIST Handbook 44, section 2.20 Scales, Table 6 (classes I and II) and Table 8 (recommended minimum load)",
            "memory",
        ),
        Source("oiml-r111", "OIML R 111-1:2004, Weights, Table 1 (maximum permissible errors)", "second-hand"),
        Source("astm-e617", "ASTM E617, Laboratory weights and precision mass standards (tolerances)", "memory"),
        Source(
            "usp-1176-graduates",
            "USP general chapter <1176>, table of deviations of graduates; at least 20 % of the capacity",
            "memory",
        ),
        Source("usp-31", "USP 28 and 29, general chapter <31> Volumetric apparatus", "seen"),
        Source("usp-31-burettes", "USP general chapter <31> Volumetric apparatus, table of burette limits", "memory"),
        Source("iso-1042", "ISO 1042, One-mark volumetric flasks", "memory"),
        Source("iso-648", "ISO 648, Single-volume pipettes", "memory"),
        Source("iso-4788", "ISO 4788, Graduated measuring cylinders", "memory"),
        Source("iso-7886-1", "ISO 7886-1, Sterile hypodermic syringes, tolerance on graduated capacity", "second-hand"),
        Source("iso-8655-2", "ISO 8655-2, Piston pipettes, maximum permissible systematic errors", "memory"),
        Source("astm-e288", "ASTM E288, Laboratory glass volumetric flasks (the 100 mL limit seen)", "memory"),
        Source("astm-e969", "ASTM E969, Glass volumetric (transfer) pipets", "seen"),
        Source("astm-e1272", "ASTM E1272-02, Laboratory glass graduated cylinders, Table 1", "seen"),
        Source(
            "rounding-of-two-readings",
            "Two roundings to the step d, each rectangular: sqrt(2) d / (2 sqrt 3) = 0.408 d",
            "practice",
        ),
        Source(
            "rees-smith-watson",
            "Rees, Smith & Watson, Introduction to Pharmaceutical Calculations, 4th ed. (2015)",
            "seen",
        ),
        Source("army-md0802", "U.S. Army Medical Department, subcourse MD0802 Pharmaceutical Calculations", "seen"),
        Source("comprehensive-review", "Comprehensive Pharmacy Review, 8th ed. (Shargel et al.), chapter 1", "seen"),
        Source(
            "navy-pharmacy-mathematics", "U.S. Navy, Hospital Corpsman, NAVEDTRA 10669-C, pharmacy mathematics", "seen"
        ),
        Source("winfield", "A UK dispensing textbook (Winfield), serial triturations", "memory"),
        Source(
            "nist-units",
            "NIST SP 811 and NIST Handbook 44, appendix C (exact factors of grain, pound and gallon)",
            "second-hand",
        ),
        Source("si-prefixes", "BIPM SI Brochure, 9th edition (2019), table 7: prefixes of the SI", "memory"),
        Source(
            "imperial-measures", "UK Weights and Measures Act 1985 (gallon of 4.54609 L, 160 fluid ounces)", "memory"
        ),
        Source("solubility-terms", "USP and Ph. Eur. general notices, solubility as parts of solvent", "memory"),
        Source("displacement", "UK dispensing teaching, displacement values of suppository bases", "memory"),
        Source("capsule-sizes", "Capsule body volumes as commonly tabled; makers differ, ask yours", "memory"),
        Source(
            "potency-label", "The convention of potency labels, micrograms of drug in a milligram of powder", "practice"
        ),
        Source("molecular-weights", "Molar masses as pharmacopoeial monographs print them", "memory"),
        Source("atomic-weights", "IUPAC, abridged standard atomic weights, five figures", "memory"),
        Source("gum", "JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM)", "second-hand"),
        Source("nist-sp811-rounding", "NIST SP 811, appendix B.7, rounding of ties to the even digit", "memory"),
        Source("kent-strengths", "University of Kent, student learning leaflet Converting strengths", "seen"),
        Source("review-set", "A published review set of pharmacy calculations", "second-hand"),
        Source("textbook-chapter", "A textbook chapter on accurate weighing for prescriptions", "second-hand"),
        Source("quam-a1", "EURACHEM/CITAC Guide QUAM, 2nd ed., example A1", "seen"),
        Source("classroom", "Common classroom practice", "practice"),
        Source("definition", "The definition of the quantity itself", "practice"),
    )
}


def source(key: str) -> Source:
    """Return the source with this key; a key that is not listed is an error of the programmer (KeyError)."""
    return SOURCES[key]
