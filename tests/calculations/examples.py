"""For each calculation, inputs that it finds within, every input named at least once over all."""

from __future__ import annotations

WITHIN: dict[str, dict[str, str]] = {
    "generator-load": {
        "loads": "fridge, 700 W, 2200 W, 1, R1, 20 A\nwell pump, 900 W, 900 W, both, R3, 20 A\n"
        "rig, 600 W, 600 W, 2, R2, 20 A",
        "running-rating": "5000 W",
        "surge-rating": "6250 W",
        "output": "120/240",
        "main-breaker": "25 A",
        "altitude": "1000 ft",
        "altitude-rule": "3.5 %, 1000 ft, 0 ft",
        "air-temperature": "87 degF",
        "heat-rule": "1 %, 10 degF, 77 degF",
    },
    "cord-current": {
        "awg": "12",
        "current-carrying": "2",
        "plug": "20 A",
        "continuous": "no",
        "power": "1500 W",
        "voltage": "120 V",
    },
    "voltage-drop": {
        "awg": "10",
        "wire": "stranded",
        "length": "50 ft",
        "length-is": "one-way",
        "current": "10 A",
        "supply-voltage": "120 V",
        "conductor-temperature": "50 degC",
    },
    "generator-fuel": {
        "hours": "8 h",
        "consumption": "0.35 gal/h",
        "fuel-at-hand": "5 gal",
        "kept": "outdoors",
        "largest-can": "5 gal",
        "local-limit": "10 gal",
    },
    "power-line-distance": {
        "mast-height": "40 ft",
        "above-top": "5 ft",
        "sideways-reach": "12 ft",
        "line-voltage": "7.2 kV",
        "ground-distance": "90 ft",
        "utility-clearance": "12 ft",
    },
    "wind-load": {
        "speed": "90 mph",
        "area": "6 ft2",
        "height": "30 ft",
        "exposure": "C",
        "lever-arm": "4 ft",
        "topographic-factor": "1",
        "allowable-area": "12 ft2",
        "allowable-speed": "90 mph",
        "allowable-moment": "900 ft lbf",
    },
    "fall-clearance": {
        "clear-height": "25 ft",
        "connector": "lanyard",
        "anchor-at": "above",
        "lanyard": "6 ft",
        "maker-clearance": "17.5 ft",
    },
    "hoist-loads": {
        "load": "60 lb",
        "haul": "ground",
        "bridle-angle": "60 deg",
        "pieces": "12 mm rope, line, 450 lb\nblock, block, 4 kN\nsling, bridle, 300 kg",
    },
    "ladder-set-back": {"working-length": "20 ft", "set-back": "5 ft", "above-landing": "3 ft"},
}
"""The carbon monoxide picture is missing: it never finds anything within."""

OTHERS: dict[str, dict[str, str]] = {
    "carbon-monoxide": {
        "place": "inside",
        "volume": "3200 ft3",
        "air-changes": "0.5 1/h",
        "minutes": "10 min",
        "emission": "4000 g/h",
    },
    "cord-current": {
        "awg": "12",
        "current-carrying": "2",
        "plug": "20 A",
        "continuous": "no",
        "current": "12 A",
    },
    "generator-fuel": {
        "hours": "8 h",
        "load": "2000 W",
        "fuel-at-hand": "5 gal",
        "kept": "outdoors",
    },
}
"""More runs, for the inputs that exclude those above."""
