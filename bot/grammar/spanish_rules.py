"""What else of a Spanish line is put into English, beside its command word.

Patterns are matched against plain small letters. Compiled when the first Spanish line is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable

Put = str | Callable[[re.Match[str]], str]
Rule = tuple[re.Pattern[str], Put]

_MONTHS = {
    "enero": "jan", "ene": "jan", "febrero": "feb", "feb": "feb", "marzo": "mar", "mar": "mar",
    "abril": "apr", "abr": "apr", "mayo": "may", "may": "may", "junio": "jun", "jun": "jun",
    "julio": "jul", "jul": "jul", "agosto": "aug", "ago": "aug", "septiembre": "sep",
    "setiembre": "sep", "sept": "sep", "sep": "sep", "set": "sep", "octubre": "oct", "oct": "oct",
    "noviembre": "nov", "nov": "nov", "diciembre": "dec", "dic": "dec",
}  # fmt: skip
_MONTH = "|".join(_MONTHS)
_WEEKDAYS = {
    "lunes": "mon", "lun": "mon", "martes": "tue", "miercoles": "wed", "mie": "wed",
    "jueves": "thu", "jue": "thu", "viernes": "fri", "vie": "fri", "sabados": "sat",
    "sabado": "sat", "sab": "sat", "domingos": "sun", "domingo": "sun", "dom": "sun",
}  # fmt: skip
_WEEKDAY = "|".join(_WEEKDAYS)
_NUMBERS = {
    "un": "1", "una": "1", "uno": "1", "dos": "2", "tres": "3", "cuatro": "4", "cinco": "5",
    "seis": "6", "siete": "7", "ocho": "8", "nueve": "9", "diez": "10", "once": "11", "doce": "12",
}  # fmt: skip
_NUMBER = "|".join(_NUMBERS)
_COUNTED = "semillas?|plantas?|plantulas?|celdas?|bandejas?|dias?|semanas?|siembras?|horas?"
_NAME = "[\ue000-\uf8ff]"


def _rule(pattern: str, put: Put) -> Rule:
    return re.compile(rf"(?<![\w'])(?:{pattern})(?:(?<=\s)|(?![\w']))"), put


def _of(table: dict[str, str], form: str, group: str = "w") -> Callable[[re.Match[str]], str]:
    return lambda found: form.format(table[found[group]], **found.groupdict(""))


def _date(found: re.Match[str]) -> str:
    return f"{found['d']} {_MONTHS[found['w']]} {found['y'] or ''}".strip()


def _two_days(found: re.Match[str]) -> str:
    month = _MONTHS[found["w"]]
    return f"{found['d']} {month} - {found['d2']} {month}"


EVERYWHERE: tuple[Rule, ...] = (
    # days
    _rule("antes de ayer|anteayer|antier", "day before yesterday"),
    _rule("pasado manana", "in 2 days"),
    _rule("esta manana", "this morning"),
    _rule("esta noche", "tonight"),
    _rule("anoche", "last night"),
    _rule("ayer", "yesterday"),
    _rule("(?<!de la )manana", "tomorrow"),
    _rule("hoy", "today"),
    _rule(
        rf"hace (?:(?P<n>\d+)|(?P<w>{_NUMBER})) (?P<unit>dia|semana)s?",
        lambda m: f"{m['n'] or _NUMBERS[m['w']]} {'days' if m['unit'] == 'dia' else 'weeks'} ago",
    ),
    _rule(
        rf"(?:dentro de|en) (?:(?P<n>\d+)|(?P<w>{_NUMBER})) (?P<unit>dia|semana)s?",
        lambda m: f"in {m['n'] or _NUMBERS[m['w']]} {'days' if m['unit'] == 'dia' else 'weeks'}",
    ),
    _rule(
        rf"(?:del |de |el )?(?P<d>\d{{1,2}})(?: al?|\s*-) ?(?P<d2>\d{{1,2}}) "
        rf"(?:de )?(?P<w>{_MONTH})",
        _two_days,
    ),
    _rule(
        rf"(?:el (?:dia )?)?(?P<d>\d{{1,2}})[ -]*(?:de )?(?P<w>{_MONTH})\b\.?"
        r"(?: del? (?P<y>\d{4}))?",
        _date,
    ),
    _rule(rf"(?:el |la )?(?:(?P<w>{_WEEKDAY}) pasado|pasado (?P<v>{_WEEKDAY}))",
          lambda m: f"last {_WEEKDAYS[m['w'] or m['v']]}"),
    _rule(rf"(?:el )?(?:proximo (?P<w>{_WEEKDAY})|(?P<v>{_WEEKDAY}) que viene)",
          lambda m: f"next {_WEEKDAYS[m['w'] or m['v']]}"),
    _rule(rf"(?:cada |todos los )(?P<w>{_WEEKDAY})", _of(_WEEKDAYS, "every {}")),
    _rule(rf"(?:el |los )?(?P<w>{_WEEKDAY})", _of(_WEEKDAYS, "{}")),
    _rule("fines? de semana", "weekend"),
    _rule("todos los dias|cada dia|a diario", "every day"),
    _rule(r"desde (?:el )?(?=\d|mon|tue|wed|thu|fri|sat|sun|tomorrow)", "from "),
    (re.compile(r"(?<=\d) de (?=\d)"), " of "),
    _rule(r"del? (?=\d)", ""),
    _rule(r"hasta (?:el )?(?=\d|mon|tue|wed|thu|fri|sat|sun|tomorrow)", "until "),
    _rule(r"al? (?=\d{1,2} (?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec))", "- "),
    # numbers and units
    _rule(rf"(?P<w>{_NUMBER})(?= (?:mas|por|{_COUNTED}))", _of(_NUMBERS, "{}")),
    _rule("(?:una )?docena", "dozen"),
    _rule("horas?", "hours"),
    _rule("minutos?", "minutes"),
    _rule("grados?", "degrees"),
    _rule("por ciento", "percent"),
    _rule("pulgadas?", "inches"),
    _rule("menos (?=\\d)", "minus "),
    # places
    _rule("(?:por|en cada|a) celda|cada celda", "per cell"),
    _rule("todas las bandejas|todo el semillero", "all trays"),
    _rule("todas? (?:la|las) celdas?", "all cells"),
    _rule("todo|toda|todos|todas", "all"),
    _rule(
        "(?:en|de|a) (?:(?:la|el|las|los) )?(?=(?:bandeja|estante|balda|celda|fila|columna)s?\\b"
        "|t\\d)",
        "in ",
    ),
    _rule("(?:semillas?|pepitas?) de", "seeds of"),
    _rule("semillas?", "seeds"),
    _rule("celdas? de(?= [^\\W\\d])", "cells of"),
    _rule("(?:celda|alveolo)", "cell"),
    _rule("(?:celdas|alveolos)", "cells"),
    _rule("(?:plantas?|plantulas?|matas?) de", "plants of"),
    _rule("plantas?|plantulas?|matas?", "plants"),
    _rule("bandeja", "tray"),
    _rule("bandejas", "trays"),
    _rule("(?:el )?(?:estante|balda)", "shelf"),
    _rule("fila", "row"),
    _rule("filas", "rows"),
    _rule("columna", "column"),
    _rule("columnas", "columns"),
    _rule("lote", "lot"),
    _rule("variedad", "variety"),
    _rule(rf"para (?={_NAME})", "for "),
    _rule("para (?:la )?mesa (?=\\d)", "for table "),
    (re.compile(r"(?<=[a-z]\d) a (?=[a-z]\d)|(?<=[a-z]\d\d) a (?=[a-z]\d)"), " to "),
    _rule(
        r"(?<!row )(?<!rows )(?<!fila )(?<!filas )"  # a row's letter
        r"y(?= (?:[a-z]?\d|[a-z]$|mon|tue|wed|thu|fri|sat|sun))",
        "and",
    ),
)  # fmt: skip

OF_COMMAND: dict[str, tuple[Rule, ...]] = {
    "sow": (
        _rule("de (?=\\d)", ""),
        _rule("libres?|vacias?", "free"),
        _rule("de profundidad|de hondo", "deep"),
        _rule("en (?=t\\d)", "in "),
        _rule("in cells", "cells"),
    ),
    "up": (
        _rule("no (?=up)", ""),
        _rule("ningun[oa]?|nada|ninguna", "none"),
        _rule("mas|otr[oa]s", "more"),
        _rule("de (?=[^\\W\\d])", "of "),
        _rule("ya|aun|todavia|en total", ""),
    ),
    "watered": (
        _rule("(?:por|desde) (?:de)?(?:bajo|abajo)|por inmersion", "from below"),
        _rule("(?:por|desde) (?:encima|arriba)", "from above"),
        _rule("bien|otra vez|de nuevo", ""),
    ),
    "moist": (
        _rule("demasiado|muy|bastante", "very"),
        _rule("un poco|algo", "a bit"),
        _rule("sec[oa]s?", "dry"),
        _rule("mojad[oa]s?|encharcad[oa]s?|empapad[oa]s?", "wet"),
        _rule("en su punto|perfect[oa]s?|humed[oa]s?|bien", "right"),
        _rule("(?:el |la )?(?:sustrato|tierra|mezcla)(?: del?)?", "mix"),
        _rule("estan?|siguen?", ""),
    ),
    "temp": (
        _rule("(?:(?:el|la) |del? (?:la )?)?(?:sustrato|tierra|suelo|mezcla)", "mix"),
        _rule("(?:el |del )?(?:aire|ambiente)", "air"),
        _rule("minima(?: de)?", "low"),
        _rule("pronostico(?: de)?", "forecast"),
        _rule("fuera|exterior|al aire libre", "outside"),
        _rule("bajo cero", ""),
        _rule("temperatura(?: de)?", ""),
    ),
    "light": (
        _rule("lamparas?", "lamp"),
        _rule("al dia|por dia|diarias?", "a day"),
        _rule("sobre (?:las plants|las plantas)|por encima|de altura", "above"),
    ),
    "thinned": (_rule("a una|a 1", "to 1"),),
    "potted": (
        _rule("(?:a|en) (?:la )?(?=t\\d)|in (?=t\\d|tray)", "into "),
        _rule("de (?=[^\\W\\d])", "of "),
        _rule("(?:a|en) macetas?", "in pots"),
    ),
    "move": (
        _rule(
            "(?:(?:a|al|en|hacia) )?(?:la |el )?"
            "(?:cajonera(?: fria)?|marco frio|cama fria|semillero frio)",
            "to cold frame",
        ),
        _rule("al? (?=(?:shelf|estante|balda|tray|bandeja|t\\d))", "to "),
    ),
    "fed": (
        _rule("de nitrogeno", "n"),
        _rule("con abono", ""),
    ),
    "out": (
        _rule("toda la noche|de noche", "overnight"),
        _rule("all la noche", "overnight"),
        _rule("fuera|al aire libre|al exterior", "outside"),
    ),
    "planted": (
        _rule(
            "(?:en|al) (?:el )?(?:huerto|jardin|bancal|suelo)|en la huerta|a la huerta|fuera", "out"
        ),
        _rule(rf"a (?={_NAME})", "to "),
        _rule("de (?=[^\\W\\d])", "of "),
    ),
    "lost": (
        _rule("a causa del?|por culpa del?|por", "because of"),
        (re.compile(r"(?<=\d) de (?=[^\W\d])"), " of "),
    ),
    "undo": (_rule("(?:el |lo )?ultim[oa]", "last"), _rule("parte", "report")),
    "due": (_rule("mi[oa]s?|para mi|lo mio", "mine"), _rule("(?:de |para )?today", "today")),
    "when": (
        _rule("(?:se )?(?:siembra|siembro|sembrar|planta|plantar)(?:n|mos)?", "sow"),
        _rule("(?:con )?(?:un )?riesgo(?: de(?: helada)?)?", "risk"),
        _rule("el|la|los|las|del?|con|un", ""),
    ),
    "howmany": (_rule("necesito|hacen falta|para|(?:de )?seguridad|con(?: un)?|seeds of|de", ""),),
    "plan": (
        _rule(
            rf"en (?P<w>{_NUMBER}|\d+) (?:siembras?|tandas?|veces)",
            lambda m: f"in {_NUMBERS.get(m['w'], m['w'])} sowings",
        ),
        _rule("aceptar", "accept"),
        _rule("descartar|borrar|quitar|quita|sin", "drop"),
        _rule("anadir|anade|agregar|agrega|mas", "add"),
        _rule("otra vez|de nuevo", "again"),
        _rule("cualquier (?:dia|fecha)", "any day"),
        _rule("(?:la )?(?:siembra|sembrar|sembrad[oa]s?)(?: el)?", "sow"),
        (re.compile(r"(?<=\d) de (?=[^\W\d])"), " of "),
        _rule("y", "and"),
    ),
    "frost": (
        _rule("(?:la )?primera(?: helada)?", "first frost"),
        _rule("(?:la )?ultima(?: helada)?|media|mediana|habitual|normal", "last frost"),
        _rule("y", "and"),
        _rule("hacia|sobre|normalmente|de primavera|de otono|el|probabilidad", ""),
    ),
    "lot": (
        _rule("agotado|gastado|terminado", "used up"),
        _rule("quedan?|hay", "left"),
        _rule("gramos?", "g"),
        _rule("sobres? de", "packets of"),
        _rule("(?:a|hasta) (?:la )?(?:madurez|cosecha)", "to maturity"),
    ),
    "duty": (
        _rule("yo|a mi|para mi|mi", "me"),
        _rule("no|libre|quitar", "off"),
    ),
    "rehearse": (
        _rule("semanas?", "weeks"),
        _rule("siempre", "always"),
        _rule("a veces", "sometimes"),
        _rule("nunca", "never"),
        _rule("los demas|todos|todas", "everybody"),
        _rule("y", "and"),
    ),
    "pause": (
        _rule(r"(?:por|durante) (?=\d|un)", "for "),
        _rule("un[ao]? (?:semana)", "1 week"),
        _rule("semanas?", "weeks"),
        _rule("dias?", "days"),
        _rule("meses|mes", "months"),
        _rule("a mi|mis avisos|mi", "me"),
        _rule("avisos|recordatorios|del grupo|el grupo", "reminders"),
    ),
    "resume": (
        _rule("a mi|mis avisos|mi", "me"),
        _rule("avisos|recordatorios|del grupo|el grupo", "reminders"),
    ),
    "away": (_rule("he vuelto|ya (?:he vuelto|volvi)|vuelvo|volvi|no", "off"),),
    "closed": (_rule("abierto|quitar|abrir", "off"),),
    "site": (
        _rule("lugar|poblacion|ciudad", "place"),
        _rule("zona(?: horaria)?", "zone"),
        _rule("ronda", "round"),
        _rule("silencio", "quiet"),
        _rule("respuestas (?:breves|cortas|con (?:una )?marca)", "answers brief"),
        _rule("respuestas (?:completas|enteras|largas)", "answers full"),
        _rule("(?:avisos|recordatorios) (?:semanales|cada semana)", "reminders weekly"),
        _rule("(?:avisos|recordatorios) (?:solo )?en privado", "reminders private"),
        _rule("(?:avisos|recordatorios) (?:solo )?en el grupo", "reminders group"),
        _rule("(?:avisos|recordatorios) (?:normales|diarios|cada dia)", "reminders both"),
        _rule(r"(?<=\d) a (?=\d)", "-"),
    ),
    "me": (
        _rule("(?:mi )?nombre(?: es)?", "name"),
        _rule("sin avisos|avisos? no", "reminders off"),
        _rule("avisos?(?: si)?", "reminders on"),
        _rule("(?:sin agradecimiento|agradecimientos? no)", "thanks off"),
        _rule("agradecimientos?(?: si)?", "thanks on"),
        _rule("silencio", "quiet"),
        _rule(r"(?<=\d) a (?=\d)", "-"),
    ),
    "member": (
        _rule("coordina|coordinador|coordinadora", "coordinator"),
        _rule("nombre", "name"),
        _rule("sale|fuera", "out"),
    ),
    "tray": (_rule("retirad[oa]", "retired"),),
    "shelf": (
        _rule("puestos|sitios", "places"),
        _rule("espacio", "space"),
        _rule("tubos?", "tubes"),
        _rule("esterilla(?: termica)?", "mat"),
        _rule("temporizador", "timer"),
        _rule("ventana", "window"),
    ),
    "shelves": (_rule("espacio", "space"),),
    "compare": (_rule("con|contra|frente a|y", "vs"),),
    "break": (_rule("despues|vuelta", "after"),),
    "swap": (_rule("mi turno(?: del?)?|el turno(?: del?)?|turno(?: del?)?", ""),),
    "forgetme": (_rule("segur[oa]|si", "sure"),),
    "labels": (
        _rule("carta", "letter"),
        _rule("(?:de )?(?:estacas?|varillas?)", "stake"),
        _rule("(?:de )?(?:fichas?|tarjetas?)", "card"),
        _rule("(?:de |en )?(?:hojas? adhesivas?|adhesivas?|pegatinas?|hojas?)", "sheet"),
    ),
    "sheet": (
        _rule("(?:de )?(?:la )?(?:semanas?|quincena)", "week"),
        _rule("(?:de )?siembras?", "sowing"),
        _rule("(?:de )?turnos?", "rota"),
        _rule("(?:de )?(?:la )?temporada", "season"),
        _rule("carta", "letter"),
    ),
    "tags": (_rule("carta", "letter"),),
    "report": (_rule("archivo", "file"),),
}
"""What else is put into English beside one command."""
