"""The Spanish words for commands."""

from __future__ import annotations


def _listed(words: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in words.split(","))


COMMAND_WORDS: dict[str, tuple[str, ...]] = {
    command: _listed(words)
    for command, words in {
        "start": "empezar, comenzar, hola, buenos días, buenas tardes, buenas",
        "site": "sitio, lugar",
        "frost": "última helada, primera helada, heladas, helada",
        "shelf": "estante, balda",
        "tray": "bandeja",
        "lot": "lote, lotes, sobre de semillas",
        "duty": "turnos, turno",
        "away": "ausente, no estoy, no estaré, me voy",
        "rehearse": "ensayo, ensayar",
        "pause": "pausa, pausar, poner en pausa",
        "remind": "recordar, recordatorio",
        "resume": "reanudar, reanuda, seguir con los avisos",
        "closed": "cerrado, cierre, cierres",
        "member": "miembros, miembro",
        "when": "cuándo siembro, cuándo sembrar, cuándo se siembra, cuándo sembramos, cuándo, "
        "fechas",
        "howmany": "cuántas semillas, cuántas celdas, cuántas, cuántos, semillas para",
        "plan": "planificar, planifica, planes",
        "season": "temporada",
        "calendar": "calendario",
        "sow": "siembra, sembrar, sembré, sembramos, sembrado, sembrada, sembrados, sembradas, "
        "siembro, he sembrado, hemos sembrado",
        "up": "salieron, salió, han salido, ha salido, germinaron, germinó, han germinado, "
        "germinadas, nacieron, nació, han nacido, nacidas, nacidos, nacida, nacido, brotaron, "
        "han brotado, asoman, nacen",
        "watered": "regado, regada, regados, regadas, regué, regamos, regar, riego, he regado, "
        "hemos regado",
        "moist": "humedad, seco, seca, secos, secas, mojado, mojada, mojados, mojadas, húmedo, "
        "húmeda, húmedos, húmedas, encharcado, encharcada, empapado, empapada",
        "temp": "temperatura, temperaturas, mínima, pronóstico",
        "light": "luz, lámpara",
        "thinned": "aclaré, aclarado, aclarada, aclaramos, aclarar, aclareo, raleado, raleada, "
        "raleé, ralear, entresacado, entresacada, entresaqué, entresacar",
        "potted": "repicado, repicada, repicadas, repicados, repiqué, repicamos, repicar, "
        "pasado a maceta, pasada a maceta, pasadas a maceta, pasados a maceta, pasé a maceta, "
        "pasamos a maceta, trasplantado a maceta, trasplantadas a maceta, trasplanté a maceta, "
        "a maceta",
        "move": "mover, movido, movida, movidos, movidas, moví, movimos, cambiar de sitio",
        "harden": "empezar a endurecer, empieza a endurecer, empezamos a endurecer",
        "fed": "abonado, abonada, abonados, abonadas, aboné, abonamos, abonar, abono, fertilizado, "
        "fertilizada, fertilicé, fertilizar",
        "out": "fuera, saqué, sacado, sacada, sacadas, sacamos, endurecer, endurecimiento, al aire "
        "libre",
        "planted": "plantado, plantada, plantados, plantadas, planté, plantamos, plantar, "
        "trasplantado, trasplantadas, trasplantados, trasplanté, trasplantamos, entregado, "
        "entregadas, entregados, entregué",
        "lost": "perdidas, perdidos, perdida, perdido, perdí, perdimos, murieron, murió, "
        "han muerto, ha muerto, muertas, muertos",
        "note": "nota, notas, anota, apunta",
        "undo": "deshacer, deshaz, retirar, retira",
        "due": "qué toca hoy, qué toca, qué hay que hacer, tareas, pendiente, pendientes",
        "trays": "bandejas",
        "shelves": "estantes, baldas",
        "curve": "curva",
        "report": "resultados, informe",
        "compare": "comparar, compara, comparación",
        "crop": "cultivos, cultivo",
        "ask": "pregunta, preguntar, duda, problema, por qué",
        "wish": "quiero, quisiera, me gustaría, pedido, pido",
        "share": "reparto, repartir",
        "labels": "etiquetas, etiqueta",
        "sheet": "cartel, carteles, hoja de pared",
        "tags": "tarjetas, tarjeta, etiquetas para casa, tarjetas para casa",
        "swap": "cambiar turno, ofrezco, cambio",
        "break": "antes del cierre, antes de vacaciones",
        "me": "mis ajustes, mi nombre",
        "export": "exportar, descargar",
        "import": "importar, cargar",
        "endgroup": "borrargrupo, borrar el grupo, eliminar el grupo",
        "forgetme": "olvídame, bórrame",
        "help": "ayuda, comandos, qué puedo decir",
    }.items()
}
"""Command word -> what is also understood, the plainest first."""

KEPT = frozenset(
    _listed(
        "seco, seca, secos, secas, mojado, mojada, mojados, mojadas, encharcado, encharcada, "
        "empapado, empapada, minima, pronostico, primera helada"
    )
)
"""Command words whose English is a command word too and part of what is said: `dry`."""

LED = frozenset(_listed("humedo, humeda, humedos, humedas, por que, mi nombre"))
"""Command words that are part of what is said, after the command's own word."""
