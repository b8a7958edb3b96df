"""The fields of how the bed is run, in the Water panel."""

from designer.window.entries import Section, water_entry
from designer.window.quantity_fields import (
    DAYS,
    DEPTH_A_DAY,
    HOURS,
    MINUTES,
    NUMBER,
    PERCENT,
    PRICE,
    TEMPERATURE,
    VOLUME_A_DAY,
)

WATER_FIELDS: tuple[Section, ...] = (
    Section(
        "Pump's times",
        (
            water_entry(
                "on_minutes",
                "Pump on",
                "How long it runs each time, day and night. 15 minutes in each hour is common "
                "practice for perlite and coir (from memory).",
                measure=MINUTES,
                step="Set the pump's time on",
            ),
            water_entry(
                "off_minutes",
                "Pump off",
                "How long it rests between; 0 where it never stops.",
                measure=MINUTES,
                step="Set the pump's time off",
            ),
        ),
    ),
    Section(
        "Plants",
        (
            water_entry(
                "evapotranspiration",
                "Hot day's evaporation (ETo)",
                "What a hot day draws from well-watered grass, called ETo; your weather service "
                "tells it. Each crop takes its share of it (FAO paper 56, equation 58).",
                measure=DEPTH_A_DAY,
                step="Set the hot day's evaporation",
            ),
            water_entry(
                "plant_use",
                "Use of each plant",
                "Type it where you know it better. Left empty it is reckoned from the weather, "
                "the crop and its room (FAO paper 56, equation 58).",
                measure=VOLUME_A_DAY,
                blank="reckoned",
            ),
        ),
    ),
    Section(
        "What you want of it",
        (
            water_entry(
                "target_uniformity",
                "Least uniformity",
                "What the driest bucket gets, of what they get on average: EU, after Keller and "
                "Karmeli 1974 (second-hand). 80 % is a common aim (from memory).",
                measure=PERCENT,
            ),
            water_entry(
                "top_up_days",
                "Days between top-ups",
                "How long a full reservoir is to last on hot days.",
                measure=DAYS,
                step="Set the days between top-ups",
            ),
            water_entry(
                "reserve_hours",
                "Hours without the pump",
                "How long the plants are to last in a power cut.",
                measure=HOURS,
                step="Set the hours without the pump",
            ),
            water_entry(
                "energy_price",
                "Price of power",
                "What you pay for 1 kWh, in your own money.",
                measure=PRICE,
            ),
        ),
    ),
    Section(
        "What the reckoning takes",
        (
            water_entry(
                "temperature",
                "Water's temperature",
                "Cold water runs a little slower. Density and stickiness after the tables of the "
                "International Association for the Properties of Water and Steam.",
                measure=TEMPERATURE,
            ),
            water_entry(
                "drain_friction",
                "Friction in the drain",
                "Manning is the plumber's formula for part-full pipes; Darcy-Weisbach suits "
                "very smooth pipes and small flows better.",
                "choice",
                options=(("manning", "Manning"), ("darcy", "Darcy-Weisbach")),
                step="Change the friction in the drain",
            ),
            water_entry(
                "manning_n",
                "Manning's n",
                "0.010 for smooth plastic pipe (City of Austin, Drainage Criteria Manual, table "
                "5-2). Roots and slime raise it to about 0.013 (from memory).",
                measure=NUMBER,
                shown_if=lambda a, _: a.design.water.drain_friction == "manning",
            ),
        ),
        open=False,
    ),
)
