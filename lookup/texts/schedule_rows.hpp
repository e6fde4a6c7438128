// Headings and sentences of the schedule in both languages.
#pragma once

#include <array>

#include "lookup/texts/text_row.hpp"

namespace thirstline {

inline constexpr auto kScheduleRows = std::to_array<TextRow>({
    // The job
    {"job.customer", "Customer: {value}", "Cliente: {value}"},
    {"job.address", "Address: {value}", "Dirección: {value}"},
    {"job.prepared_by", "Prepared by: {contractor}", "Preparado por: {contractor}"},
    {"job.prepared_by_licensed", "Prepared by: {contractor} (license {license})",
     "Preparado por: {contractor} (licencia {license})"},
    {"job.date", "Date: {value}", "Fecha: {value}"},
    {"job.notes", "Notes: {value}", "Notas: {value}"},

    // Cautions
    {"caution.rules",
     "Check local watering rules before setting these times. Long-term averages, not a "
     "forecast: check soil and plants and adjust.",
     "Consulte las reglas locales de riego antes de programar estos tiempos. Son promedios de "
     "muchos años, no un pronóstico: revise el suelo y las plantas y ajuste."},
    {"caution.freezing",
     "Do not run sprinklers at or below freezing: ice on walks and roads causes injuries.",
     "No riegue por aspersión a 0 °C (32 °F) o menos: el hielo en aceras y calles causa "
     "lesiones."},
    {"caution.sensor", "Do not disable a rain or freeze sensor required by local rules.",
     "No desactive un sensor de lluvia o de congelación que exijan las reglas locales."},
    {"caution.licensed",
     "Backflow prevention, electrical and pump work must be done by licensed contractors "
     "where the law requires it.",
     "Los trabajos en dispositivos contra el reflujo, eléctricos y de bombas debe hacerlos un "
     "contratista con licencia donde la ley lo exija."},
    {"caution.winterizing",
     "Winterizing with compressed air can cause serious injury: trained persons only.",
     "Purgar el sistema con aire comprimido para el invierno puede causar lesiones graves: solo "
     "personal capacitado."},
    {"caution.slope",
     "On a slope, or above a retaining wall: stop if you see seepage, cracks or movement, "
     "and have it inspected.",
     "En una ladera o arriba de un muro de contención: suspenda el riego si ve filtraciones, "
     "grietas o movimiento, y pida una inspección."},
    {"caution.recycled",
     "Recycled or gray water: not for drinking. No cross-connection, overspray or runoff; "
     "follow the permit and post the signs.",
     "Agua reciclada o gris: no es potable. Sin conexiones cruzadas, rocío fuera de la zona ni "
     "escurrimiento; cumpla el permiso y coloque los letreros."},
    {"caution.leaching", "Leach salts only where the soil drains freely and the rules allow it.",
     "Lave las sales solo donde el suelo drene libremente y las reglas lo permitan."},
    {"caution.dormant",
     "Dormant does not mean dry: evergreens and new plants may need water in a dry winter, "
     "on a day above freezing.",
     "En reposo no quiere decir seco: las plantas perennes y las nuevas pueden necesitar agua en "
     "un invierno seco, en un día sin helada."},
    {"caution.new_planting",
     "New plantings keep their establishment schedule until its last day: use a program "
     "without seasonal adjustment, and keep the soil moist, not wet.",
     "Las plantaciones nuevas conservan su programa de establecimiento hasta el último día: use "
     "un programa sin ajuste estacional y mantenga el suelo húmedo, no encharcado."},
    {"caution.odd_dates",
     "The 31st and the 1st (and February 29 and March 1) are both odd dates. Where watering "
     "on consecutive days is not allowed, skip the last day of the month.",
     "El día 31 y el día 1 (y el 29 de febrero y el 1 de marzo) son fechas impares. Donde no se "
     "permita regar en días seguidos, omita el último día del mes."},
    {"caution.calendar", "Check local watering rules before setting these times.",
     "Consulte las reglas locales de riego antes de programar estos tiempos."},

    // Headings
    {"heading.page", "Watering plan", "Plan de riego"},
    {"heading.title", "Watering plan, {site}", "Plan de riego, {site}"},
    {"heading.cautions", "Cautions", "Precauciones"},
    {"heading.conflicts", "SOME ZONES GET LESS WATER THAN THEY NEED",
     "ALGUNAS ZONAS RECIBEN MENOS AGUA DE LA QUE NECESITAN"},
    {"heading.base_peak", "Base schedule (peak month = 100%)",
     "Programación base (mes pico = 100%)"},
    {"heading.base", "Base schedule (100%)", "Programación base (100%)"},
    {"heading.adjustment", "Seasonal adjustment by month (%)", "Ajuste estacional por mes (%)"},
    {"heading.establishment", "Establishment schedule", "Programa de establecimiento"},
    {"heading.zone_months", "{zone}: days and minutes by month", "{zone}: días y minutos por mes"},
    {"heading.zones_months", "Days and minutes by zone", "Días y minutos por zona"},
    {"heading.calendar", "Calendar of the month-by-month settings",
     "Calendario de la programación mes a mes"},
    {"heading.year", "Water use by year", "Consumo anual de agua"},
    {"heading.year_cost", "Water use and cost by year", "Consumo y costo anual del agua"},
    {"heading.month_need", "Plant need and rain by month",
     "Necesidad de las plantas y lluvia por mes"},
    {"heading.month_table", "Monthly table", "Tabla mensual"},
    {"heading.meter", "Metered water and plan", "Agua medida y plan"},
    {"heading.uncertainty", "Uncertainty", "Incertidumbre"},
    {"heading.assumptions", "Assumptions and defaults (override with site data)",
     "Supuestos y valores por omisión (use datos del sitio si los tiene)"},
    {"heading.climate", "About the climate's numbers", "Sobre los datos del clima"},
    {"heading.sources", "Sources", "Fuentes"},

    // Where the site is
    {"page.position", "{position}.", "{position}."},
    {"page.position_elevation", "{position}; elevation {elevation}.",
     "{position}; altitud {elevation}."},
    {"page.position_away", "{position}, of a point {distance} away.",
     "{position}, de un punto a {distance}."},
    {"page.position_elevation_away",
     "{position}; elevation {elevation}, of a point {distance} away.",
     "{position}; altitud {elevation}, de un punto a {distance}."},

    // Base schedule
    {"program.days", "Program {number}: {days}", "Programa {number}: {days}"},
    {"program.zones", "Program {number}: {zones}", "Programa {number}: {zones}"},
    {"program.column", "Program {number}, %", "Programa {number}, %"},
    {"program.changed_days", "Program {number} days in {months}: {days}.",
     "Programa {number}, días en {months}: {days}."},
    {"program.changed_starts", "{zone} start times in {months}: {times}.",
     "{zone}, horas de inicio en {months}: {times}."},
    {"base.one_cycle", "1 cycle × {minutes}, start {starts}",
     "1 ciclo × {minutes}, inicio {starts}"},
    {"base.cycles",
     "{count} cycles × {minutes} ({total}/day), start {starts}, soak at least {soak} (cycle and "
     "soak)",
     "{count} ciclos × {minutes} ({total}/día), inicio {starts}, remojo de al menos {soak} (ciclo "
     "y remojo)"},
    {"base.card_lead", "Cycles and minutes per watering day.",
     "Ciclos y minutos por día de riego."},
    {"base.card_start", "start {starts}", "inicio {starts}"},
    {"base.card_soak", "soak at least {soak}; {total}/day",
     "remojo de al menos {soak}; {total}/día"},
    {"base.card_no_run", "no run", "sin riego"},
    {"base.no_run_rules", "no run is possible within the rules",
     "las reglas no permiten ningún riego"},
    {"base.no_run_flow", "not watered: the zone needs more flow than the site has",
     "no se riega: la zona necesita más caudal del que hay en el sitio"},
    {"base.per_plant", "{run}; {volume} per plant", "{run}; {volume} por planta"},
    {"base.card_plant", "{volume} per plant and watering day",
     "{volume} por planta y día de riego"},
    {"base.no_run_need", "no watering: no month has a need", "sin riego: ningún mes lo necesita"},

    // Seasonal adjustment
    {"adjust.one_for_all",
     "One percentage serves all zones of a program: each month it follows the zone with the "
     "highest percent of peak, so every zone gets at least {share} of its need where the rules and "
     "the controller allow it. Zones are grouped by kind of need (hydrozones).",
     "Un solo porcentaje sirve a todas las zonas de un programa: cada mes sigue a la zona con el "
     "mayor porcentaje del pico, para que cada zona reciba al menos {share} de lo que necesita "
     "donde "
     "las reglas y el controlador lo permitan. Las zonas se agrupan por tipo de necesidad "
     "(hidrozonas)."},
    {"adjust.more", "By percentage the year takes {volume}, {percent}% more than the need.",
     "Por porcentaje el año requiere {volume}, {percent}% más que la necesidad."},
    {"adjust.less", "By percentage the year takes {volume}, {percent}% less than the need.",
     "Por porcentaje el año requiere {volume}, {percent}% menos que la necesidad."},
    {"adjust.same_days", "Days and start times stay as in the base schedule.",
     "Los días y las horas de inicio quedan como en la programación base."},
    {"adjust.changed_days",
     "Days and start times stay as in the base schedule, but for these changes:",
     "Los días y las horas de inicio quedan como en la programación base, salvo estos cambios:"},
    {"adjust.turn_off", "Turn these zones off: {zones}.", "Apague estas zonas: {zones}."},
    {"adjust.turn_off_zone", "{zone} in {months}", "{zone} en {months}"},
    {"adjust.excess_year", "Excess in the year: {zones}.", "Exceso en el año: {zones}."},
    {"adjust.excess_heading", "Excess, {unit}", "Exceso, {unit}"},

    // Establishment
    {"new_planting.schedule",
     "{zone}, {dates}: {runs} × {minutes}, {days} ({volume} each watering day). Not reduced by "
     "the seasonal adjustment; the zone's own schedule follows.",
     "{zone}, {dates}: {runs} × {minutes}, {days} ({volume} cada día de riego). El ajuste "
     "estacional no lo reduce; después sigue la programación propia de la zona."},
    {"new_planting.from_to", "from {from} through {until}", "del {from} al {until}"},
    {"new_planting.to", "from planting through {until}", "de la plantación hasta el {until}"},
    {"new_planting.no_total", "Give new_planting_from for the total volume.",
     "Dé new_planting_from para el volumen total."},
    {"new_planting.one_run", "1 run per watering day", "1 riego por día de riego"},
    {"new_planting.runs", "{count} runs per watering day", "{count} riegos por día de riego"},
    {"new_planting.total",
     "Total {volume} on {count} watering days, not included in the annual total.",
     "Total {volume} en {count} días de riego, no incluido en el total anual."},
    {"new_planting.line", "Establishment schedule: {schedule}",
     "Programa de establecimiento: {schedule}"},

    // Rain sensor
    {"sensor.set",
     "Rain sensor: set to {step} (half the root zone's allowable depletion, rounded down to a "
     "sensor step).",
     "Sensor de lluvia: ajústelo a {step} (la mitad del agotamiento permisible de la zona de "
     "raíces, redondeada hacia abajo a un paso del sensor)."},
    {"sensor.set_zones",
     "Rain sensor: set to {step} (half the root zone's allowable depletion, rounded down to a "
     "sensor step). By zone: {zones}.",
     "Sensor de lluvia: ajústelo a {step} (la mitad del agotamiento permisible de la zona de "
     "raíces, redondeada hacia abajo a un paso del sensor). Por zona: {zones}."},

    // Months of a zone
    {"cell.dormant", "dormant", "en reposo"},
    {"cell.off", "off", "apagada"},
    {"cell.no_run", "no run", "sin riego"},
    {"cell.days_per_month", "{count}/month", "{count}/mes"},
    {"column.month", "Month", "Mes"},
    {"column.need", "Need", "Necesidad"},
    {"column.need_narrow", "Need", "Nec."},
    {"column.plant_need", "Plant need", "Necesidad"},
    {"column.rain", "Rain", "Lluvia"},
    {"column.effective_rain", "Effective rain", "Lluvia efectiva"},
    {"column.eff_rain", "Eff. rain", "Lluvia ef."},
    {"column.eff", "Eff.", "Ef."},
    {"column.net", "Net", "Neto"},
    {"column.net_irrigation", "Net irrigation", "Riego neto"},
    {"column.gross", "Gross", "Bruto"},
    {"column.days_per_week", "Days/wk", "Días/sem"},
    {"column.days", "Days", "Días"},
    {"column.cycles", "Cycles × min", "Ciclos × min"},
    {"column.minutes_per_week", "Min/wk", "Min/sem"},
    {"column.cost", "Cost, {currency}", "Costo, {currency}"},
    {"column.year", "Year", "Año"},
    {"table.dormant", "Dormant: {months}", "En reposo: {months}"},
    {"table.inches", "In inches a month", "En pulgadas por mes"},
    {"table.millimeters", "In millimeters a month", "En milímetros por mes"},
    {"table.days_cycles", "Days per week: cycles × minutes", "Días por semana: ciclos × minutos"},
    {"table.use", "Use this table if the controller stores a schedule for each month.",
     "Use esta tabla si el controlador guarda una programación para cada mes."},
    {"table.means", "Means over the area of all zones.",
     "Promedios sobre el área de todas las zonas."},
    {"table.net_in_season", "Net irrigation counts only the season in which the system is on.",
     "El riego neto cuenta solo la temporada en que el sistema riega."},

    // Days that need an explanation
    {"days.set_week_interval",
     "Every other week or every 4th week: set an interval of 14 or 28 days that starts on that "
     "weekday; week 2 is the week after the first.",
     "Cada 2 o cada 4 semanas: programe un intervalo de 14 o 28 días que empiece ese día de la "
     "semana; la semana 2 es la que sigue a la primera."},
    {"days.set_date_interval",
     "Every so many days from a date: set an interval of that many days that starts on that date, "
     "and start it again in each month, before the 1st: an interval that runs on past the end of "
     "a month falls on dates that are not allowed.",
     "Cada tantos días desde una fecha: programe un intervalo de esos días que empiece en esa "
     "fecha y vuelva a iniciarlo cada mes, antes del día 1: un intervalo que pasa del fin de mes "
     "cae en fechas no permitidas."},
    {"days.set_dates",
     "Listed dates: no program of weekdays, odd or even dates or intervals gives these days. Start "
     "the program by hand on each of them.",
     "Fechas en lista: ningún programa por días de la semana, fechas pares o impares o intervalos "
     "da estos días. Inicie el programa a mano en cada uno de ellos."},

    // Months that are off
    {"off.month", "{month} ({zone} {depth})", "{month} ({zone} {depth})"},
    {"off.frost",
     "Off although plants need water: {months}. The mean daily minimum is at or below freezing. To "
     "water then, set start and stop in [season].",
     "Sin riego aunque las plantas necesitan agua: {months}. La mínima media diaria es de 0 °C "
     "(32 °F) o menos. Para regar, ponga start y stop en [season]."},
    {"off.season",
     "Off although plants need water: {months}. The season that was given does not include it. To "
     "water then, change start or stop in [season].",
     "Sin riego aunque las plantas necesitan agua: {months}. La temporada dada no lo incluye. Para "
     "regar, cambie start o stop en [season]."},
    {"off.small",
     "Off although plants need water: {months}. The need is less than one run of {minutes} in four "
     "weeks; soil water covers it.",
     "Sin riego aunque las plantas necesitan agua: {months}. La necesidad es menor que un riego de "
     "{minutes} en cuatro semanas; el agua del suelo la cubre."},

    // Nights that end late
    {"late.by_month",
     "In {months} watering ends after {limit}, at {end} at the latest: the runs of a night do not "
     "fit before it.",
     "En {months} el riego termina después de las {limit}, a más tardar a las {end}: los riegos de "
     "una noche no caben antes."},
    {"late.by_percentage",
     "With these percentages watering in {months} ends after {limit}, at {end} at the latest.",
     "Con estos porcentajes el riego en {months} termina después de las {limit}, a más tardar a "
     "las {end}."},

    // Calendar
    {"calendar.line", "{months}, {watering}", "{months}, {watering}"},
    {"calendar.month", "{months} – {watering}", "{months} – {watering}"},
    {"calendar.days", "{days}: {runs}; ends {end}.", "{days}: {runs}; fin a las {end}."},
    {"calendar.none", "no watering.", "sin riego."},
    {"calendar.runs", "{zone} {count} × {minutes} at {starts}",
     "{zone} {count} × {minutes} a las {starts}"},
    {"calendar.run", "{zone} {minutes} at {starts}", "{zone} {minutes} a las {starts}"},
    {"calendar.percentage", "By percentage, program {number}: {percent}%",
     "Por porcentaje, programa {number}: {percent}%"},
    {"calendar.zone_off", "{zone}: off", "{zone}: apagada"},
    {"calendar.zone_runs", "{zone}: {days}, {cycles}, start {starts}",
     "{zone}: {days}, {cycles}, inicio {starts}"},
    {"calendar.settings", "Controller settings for {month}",
     "Ajustes del controlador para {month}"},
    {"calendar.watering", "Watering: {zones}", "Riego: {zones}"},

    // Water of the year
    {"year.need", "Need", "Necesidad"},
    {"year.by_month", "Month-by-month settings", "Programación mes a mes"},
    {"year.by_percentage", "Seasonal adjustment", "Ajuste estacional"},
    {"year.savings", "  saved with month-by-month settings",
     "  ahorro con la programación mes a mes"},
    {"year.two_settings", "One change in spring and one in fall",
     "Un cambio en primavera y otro en otoño"},
    {"year.peak_all_season", "Peak schedule all season",
     "Programación del mes pico toda la temporada"},
    {"year.peak_all_year", "Peak schedule all year", "Programación del mes pico todo el año"},
    {"year.current", "Current percentages", "Porcentajes actuales"},
    {"year.no_price", "No water price given: no cost.", "No se dio el precio del agua: sin costo."},
    {"year.understated",
     "Some zones get less water than they need, so the figures below Need are too low; do not "
     "quote the savings.",
     "Algunas zonas reciben menos agua de la que necesitan, por lo que las cifras debajo de "
     "Necesidad son muy bajas; no cite el ahorro."},
    {"year.dry_need",
     "Dry year: in 2 years of 10 the need is {dry} or more; by the means it is {mean}.",
     "Año seco: en 2 de cada 10 años la necesidad es de {dry} o más; según los promedios, {mean}."},
    {"year.dry_need_cost",
     "Dry year: in 2 years of 10 the need is {dry} ({dry_cost}) or more; by the means it is {mean} "
     "({mean_cost}).",
     "Año seco: en 2 de cada 10 años la necesidad es de {dry} ({dry_cost}) o más; según los "
     "promedios, {mean} ({mean_cost})."},
    {"year.allowance_short", "In 2 years of 10 the water allowance is short by {volume} or more.",
     "En 2 de cada 10 años faltan {volume} o más del cupo de agua."},
    {"year.allowance_enough", "The water allowance covers the need of the dry year.",
     "El cupo de agua cubre la necesidad del año seco."},
    {"year.fixed_charges", "Fixed charges of {amount} a year are not included.",
     "No se incluyen los cargos fijos de {amount} al año."},

    // Meter
    {"meter.more",
     "{from} to {to}: used {used}, planned {planned}; {difference} more than planned{percent}.",
     "{from} al {to}: usado {used}, planeado {planned}; {difference} más de lo planeado{percent}."},
    {"meter.less",
     "{from} to {to}: used {used}, planned {planned}; {difference} less than planned{percent}.",
     "{from} al {to}: usado {used}, planeado {planned}; {difference} menos de lo "
     "planeado{percent}."},
    {"meter.percent", " ({percent}%)", " ({percent}%)"},

    // Chart
    {"chart.title", "Need and rain by month", "Necesidad y lluvia por mes"},
    {"chart.description",
     "Plant need is greatest in {month}, {peak}; for the year {need}. Rain: {rain}, of which "
     "{effective} is effective. The monthly table has every month.",
     "La necesidad de las plantas es mayor en {month}, {peak}; en el año {need}. Lluvia: {rain}, "
     "de la que {effective} es efectiva. La tabla mensual tiene todos los meses."},
    {"chart.need", "plant need", "necesidad"},
    {"chart.rain", "rain", "lluvia"},
    {"chart.effective", "effective", "efectiva"},

    // Uncertainty
    {"uncertainty.zone", "{zone}, {peak}.", "{zone}, {peak}."},
    {"uncertainty.peak", "{month}: net {net}", "{month}: neto {net}"},
    {"uncertainty.peak_conservative",
     "{month}: net {net}; conservative estimate {conservative} ({percent}%)",
     "{month}: neto {net}; estimación conservadora {conservative} ({percent}%)"},
    {"uncertainty.meaning",
     "± is one standard error of the long-term mean. The conservative estimate is the 80th "
     "percentile of the uncertainty in the long-term mean, not an 80th-percentile dry year.",
     "± es un error estándar del promedio de muchos años. La estimación conservadora es el "
     "percentil 80 de la incertidumbre de ese promedio, no un año seco del percentil 80."},
    {"uncertainty.unknown", "This file has no standard errors: no uncertainty can be given.",
     "Este archivo no tiene errores estándar: no se puede dar la incertidumbre."},
});

}  // namespace thirstline
