"""Names of the signs of trouble."""

from __future__ import annotations

from bot.wording.voice import Voice


def sign(voice: Voice, symptom: str) -> str:
    """Return the name of a sign of core/data/symptoms.toml; raise KeyError for another."""
    names = {
        "no_emergence": voice.say("nothing up"),
        "hard_seed": voice.say("seed still hard"),
        "patchy_emergence": voice.say("patchy emergence"),
        "slow_emergence": voice.say("slow emergence"),
        "vanished": voice.say("seedlings vanished"),
        "seed_rot": voice.say("seed rotting"),
        "damping_off": voice.say("seedlings toppling, damping off"),
        "wirestem": voice.say("wiry brown stem"),
        "leggy": voice.say("leggy seedlings"),
        "leaning": voice.say("leaning"),
        "purple_leaves": voice.say("purple leaves"),
        "yellow_cotyledons": voice.say("yellow seed leaves"),
        "yellow_new_leaves": voice.say("yellow new leaves"),
        "pale": voice.say("pale all over"),
        "burnt_tips": voice.say("burnt tips"),
        "leaf_scorch": voice.say("scorched leaves"),
        "leaf_curl": voice.say("curling leaves"),
        "drooping_stalks": voice.say("drooping leaf stalks"),
        "green_on_soil": voice.say("green on the mix"),
        "white_fuzz": voice.say("white fuzz"),
        "fungus_gnats": voice.say("fungus gnats"),
        "shore_flies": voice.say("shore flies"),
        "aphids": voice.say("aphids"),
        "whitefly": voice.say("whitefly"),
        "blisters": voice.say("blisters under leaves"),
        "seed_coat_stuck": voice.say("seed coat stuck"),
        "stalled": voice.say("growth stalled"),
        "root_bound": voice.say("root bound"),
        "wilting": voice.say("wilting"),
        "cold_damage": voice.say("cold damage"),
        "sunscald": voice.say("sunscald"),
        "wind_burn": voice.say("wind burn"),
        "transplant_shock": voice.say("check after transplanting"),
        "slug_damage": voice.say("slug damage"),
        "mouse_damage": voice.say("mouse damage"),
        "two_in_cell": voice.say("several in one cell"),
        "odd_seedling": voice.say("an odd seedling"),
        "label_lost": voice.say("label lost"),
        "dried_out": voice.say("dried out"),
        "no_true_leaves": voice.say("no true leaves yet"),
        "blind": voice.say("no growing tip"),
        "early_flowers": voice.say("early flowers"),
        "leaf_spots": voice.say("leaf spots"),
        "mosaic": voice.say("mottled leaves"),
        "mildew": voice.say("powdery mildew"),
        "webbing": voice.say("fine webbing"),
        "brown_roots": voice.say("brown roots"),
        "weak_stems": voice.say("weak stems"),
        "everyday": voice.say("everyday question"),
    }
    return names[symptom]
