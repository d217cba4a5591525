"""The grammar of typed amounts: the units with their spellings, the rules, and the signs that mean the same.

Only tables stand here; :mod:`pharmcalc.reading` works with them.
"""

__all__ = ["GRAMMAR", "SAME_SIGNS", "UNIT_OF_SPELLING"]

_SPELLINGS = {
    "gram": "g gram grams gramme grammes gm gms gs gramm",
    "kilogram": "kg kgs kilogram kilograms kilogramm",
    "milligram": "mg mgs milligram milligrams milligramme milligrammes milligramm",
    "microgram": "mcg mcgs ug ugs microgram micrograms microgramme microgrammes mikrogramm",
    "nanogram": "ng nanogram nanograms nanogramm",
    "grain": "gr grs grain grains gran",
    "scruple": "scruple scruples",
    "apothecary_dram": "dr.ap",
    "apothecary_ounce": "oz.ap ozt",
    "apothecary_pound": "lb.ap",
    "avoirdupois_ounce": "oz ounce ounces unze unzen",
    "avoirdupois_pound": "lb lbs pound pounds",
    "centimetre": "cm centimetre centimetres centimeter centimeters zentimeter",
    "millimetre": "mm millimetre millimetres millimeter millimeters",
    "litre": "l litre litres liter liters",
    "decilitre": "dl decilitre decilitres deciliter deciliters",
    "millilitre": "ml mls cc millilitre millilitres milliliter milliliters",
    "microlitre": "ul mcl microlitre microlitres microliter microliters mikroliter",
    "us_fluid_ounce": "floz fluidounce fluidounces",
    "us_fluid_dram": "fldr fluiddram fluiddrams",
    "us_minim": "minim minims",
    "mole": "mol mole moles",
}
UNIT_OF_SPELLING = {spelling: unit for unit, words in _SPELLINGS.items() for spelling in words.split()}

GRAMMAR = r"""
start: sum
?sum: product | sum "+" product -> add | sum MINUS product -> subtract
?product: signed | product TIMES signed -> multiply | product DIVIDE signed -> divide
?signed: atom | MINUS atom -> negative
?atom: amount | "(" sum ")"
amount: value UNIT -> with_unit
      | value PERCENT BASIS? -> with_percent
      | value MGPERCENT -> with_mgpercent
      | value PPM BASIS? -> with_ppm
      | value PPB BASIS? -> with_ppb
      | RATIO BASIS? -> with_ratio
      | value -> bare
      | UNIT -> unit_alone
?value: power | mixed
power: NUMBER TEN_TO? | TEN_TO
mixed: NUMBER FRACTION | FRACTION

RATIO.6: /\d[\d.,]*\s*(:|in|zu)\s*\d[\d.,]*/i
TEN_TO.7: /((\*|x)\s*)?10\s*(\^|\*\*)\s*[+-]?\d+/i
FRACTION.4: /\d[\d.,]*\s*\/\s*\d[\d.,]*/
NUMBER.3: /(\d[\d.,]*|[.,]\d[\d.,]*)(e[+-]?\d+)?/i
MGPERCENT.3: /mg\s*%|mg\s+percent/i
BASIS.3: /\(?\s*(w|v)\s*\/\s*(w|v)\s*\)?/i
PPM.3: /ppm\b/i
PPB.3: /ppb\b/i
PERCENT.3: /%|\bper\s?cent\b|\bpercent\b|\bprozent\b/i
UNIT.1: /(us\s+)?(fl(\.|uid)?\s*(oz|dr|ounces?|drams?)|minims?)\b|[a-z]+(\.ap)?/i
TIMES.2: /\*|x(?![a-z])/i
DIVIDE.2: /\/|\bper\b|\bpro\b/i
MINUS: "-"
%ignore /\s+/
"""

SAME_SIGNS = str.maketrans(
    {
        "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u2007": " ", "\u2002": " ", "\u2003": " ", "\u200b": "",
        "\u00d7": "*", "\u22c5": "*", "\u00b7": "*", "\u00f7": "/", "\u2044": "/", "\u2215": "/", "\u2236": ":",
        "\u2212": "-", "\u2013": "-", "\u00b5": "u", "\u03bc": "u", "\uff05": "%",
        "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u2153": " 1/3", "\u2154": " 2/3", "\u215b": " 1/8",
        "[": "(", "]": ")",
    }
)  # fmt: skip
