"""How well figures held, by the kind of comparison; written by tests/benchmarks/held_to.py."""

MEASURED: dict[str, tuple[str, dict[str, str]]] = {
    "share": (
        "2026-11-28",
        {
            "who": "rider",
            "usual_cases": "240",
            "usual": "16.2",
            "usual_simplest": "15.8",
            "usual_holds": "80 %",
            "kept_cases": "115",
            "kept": "7.8",
            "kept_simplest": "15.3",
            "kept_holds": "83 %",
        },
    ),
    "clock": (
        "2026-11-28",
        {
            "who": "rider",
            "usual_cases": "240",
            "usual": "26.2",
            "usual_simplest": "27.9",
            "usual_holds": "83 %",
            "kept_cases": "115",
            "kept": "12.4",
            "kept_simplest": "31.6",
            "kept_holds": "90 %",
        },
    ),
    "time": (
        "2026-11-28",
        {
            "who": "rider",
            "usual_cases": "45",
            "usual": "8.1",
            "usual_simplest": "8.1",
            "usual_holds": "80 %",
            "known_cases": "44",
            "known": "4.6",
            "known_simplest": "7.8",
            "known_holds": "98 %",
        },
    ),
    "minutes": (
        "2026-11-28",
        {
            "who": "rider",
            "cases": "45",
            "usual": "15.8",
            "usual_simplest": "16.9",
            "usual_holds": "80 %",
            "known": "6.4",
            "known_simplest": "16.9",
            "known_holds": "85 %",
        },
    ),
    "heart": (
        "2026-11-28",
        {
            "who": "rider",
            "cases": "44",
            "error": "8.2",
            "simplest": "10.5",
        },
    ),
    "ground": (
        "2026-11-28",
        {
            "who": "rider",
            "passes": "745",
            "error": "6.35",
            "there": "8.59",
            "everywhere": "9.17",
        },
    ),
    "months": (
        "2026-11-28",
        {
            "weeks": "12, 26, 60",
            "still": "0, 0, 1",
            "wanders": "6, 7, 2",
            "changes": "28, 62, 91",
            "low": "92",
            "high": "100",
        },
    ),
    "decoupling": (
        "2026-11-28",
        {
            "life": "1.64",
            "life_speed": "38.85",
            "life_holds": "96 %",
            "harsh": "2.17",
            "harsh_speed": "64.48",
            "harsh_holds": "92 %",
        },
    ),
    "causes": (
        "2026-11-28",
        {
            "life": "86",
            "harsh": "75",
        },
    ),
    "hold": (
        "2026-11-28",
        {
            "life": "3.0",
            "life_holds": "100 %",
            "harsh": "4.9",
            "harsh_holds": "98 %",
        },
    ),
    "held": (
        "2026-11-28",
        {
            "life": "6.4",
            "life_left": "30.4",
            "life_holds": "86 %",
            "harsh": "6.3",
            "harsh_left": "23.2",
            "harsh_holds": "82 %",
        },
    ),
}
