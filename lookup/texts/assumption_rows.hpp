// Assumptions and defaults of a plan, with their sources, in both languages.
#pragma once

#include <array>

#include "lookup/texts/text_row.hpp"

namespace thirstline {

inline constexpr auto kAssumptionRows = std::to_array<TextRow>({
    {"assumed.sentence", "{what}: {values}. {source} ({basis}).",
     "{what}: {values}. {source} ({basis})."},
    {"assumed.value_for", "{value} for {zones}", "{value} para {zones}"},
    {"assumed.item", "{what}: {values}", "{what}: {values}"},
    {"assumed.publication", "{source} ({basis})", "{source} ({basis})"},
    {"assumed.group", "{source}: {items}.", "{source}: {items}."},
    {"assumed.own_choices", "Thirstline's assumptions", "Supuestos de Thirstline"},

    {"basis.seen", "checked against the source", "verificado en la fuente"},
    {"basis.second_hand", "as quoted elsewhere", "según lo citan otros"},
    {"basis.memory", "not checked against the source", "no verificado en la fuente"},
    {"basis.given", "as given", "como se dio"},
    {"basis.common_practice", "common practice", "práctica común"},
    {"basis.own_choice", "Thirstline's assumption", "supuesto de Thirstline"},

    // Publications
    {"source.meyer", "Meyer et al. 1985, UC ANR Center for Landscape and Urban Horticulture",
     "Meyer et al. 1985, UC ANR Center for Landscape and Urban Horticulture"},
    {"source.s623", "ANSI/ASABE S623, plant factors", "ANSI/ASABE S623, factores de planta"},
    {"source.wucols_guide",
     "A Guide to Estimating Irrigation Water Needs of Landscape Plantings in California, "
     "University "
     "of California Cooperative Extension and Department of Water Resources, 2000",
     "A Guide to Estimating Irrigation Water Needs of Landscape Plantings in California, "
     "University of California Cooperative Extension y Department of Water Resources, 2000"},
    {"source.available_water",
     "University of California (ANR) drought guidance, available water by soil texture, middle of "
     "the range",
     "guía de sequía de la Universidad de California (ANR), agua disponible por textura del "
     "suelo, mitad del intervalo"},
    {"source.intake",
     "the irrigation industry's test protocol for climate-based controllers, table of soil intake "
     "and surface accumulation",
     "protocolo de pruebas de la industria del riego para controladores basados en el clima, "
     "tabla de infiltración y acumulación superficial"},
    {"source.none", "not taken from a publication", "no se tomó de una publicación"},
    {"source.mwelo", "California Model Water Efficient Landscape Ordinance, as quoted by a county",
     "ordenanza modelo de California de paisajismo eficiente en agua, citada por un condado"},
    {"source.fao29", "FAO Irrigation and Drainage Paper 29", "FAO, Estudio Riego y Drenaje 29"},
    {"source.neh_chapter_7", "NRCS National Engineering Handbook part 623, chapter 7",
     "NRCS National Engineering Handbook, parte 623, capítulo 7"},
    {"source.scs",
     "USDA-SCS Technical Release 21; National Engineering Handbook part 623, chapter 2",
     "USDA-SCS Technical Release 21; National Engineering Handbook, parte 623, capítulo 2"},
    {"source.fao_rain", "FAO Land and Water Division", "División de Tierras y Aguas de la FAO"},
    {"source.scheduling_guide",
     "industry landscape-scheduling guide: scheduling multiplier 1/(0.4 + 0.6 DU)",
     "guía de la industria para programar riego de jardines: multiplicador 1/(0.4 + 0.6 UD)"},

    // Plants
    {"assumed.microclimate", "microclimate factor", "factor de microclima"},
    {"assumed.from_exposure", "{factor} (from the exposure)", "{factor} (por la exposición)"},
    {"assumed.average_factor", "{factor} (average)", "{factor} (promedio)"},
    {"assumed.turf_range",
     "range 0.5 to 1.4 as for landscape plantings; shaded turf uses less water, "
     "turf beside pavement more",
     "intervalo de 0.5 a 1.4 como en plantas de jardín; el césped a la sombra usa menos agua, el "
     "que está junto al pavimento más"},
    {"assumed.turf_coefficients", "turf coefficients", "coeficientes de césped"},
    {"assumed.every_month", "{factor} in every month", "{factor} en todos los meses"},
    {"assumed.california", "by month, for California", "por mes, para California"},
    {"assumed.california_warm",
     "by month, for California; January's, equal to that of cool-season turf, is doubtful",
     "por mes, para California; el de enero, igual al del césped de clima frío, es dudoso"},
    {"assumed.density", "density factor", "factor de densidad"},
    {"assumed.density_one", "1 (average)", "1 (promedio)"},
    {"assumed.exposure", "exposure", "exposición"},
    {"assumed.exposure_not_used", "not used", "no se usa"},
    {"assumed.exposure_why",
     "a plant factor or crop coefficient already includes it; for a shaded or hot place "
     "give species and exposure, or another factor",
     "un factor de planta o coeficiente de cultivo ya la incluye; para un lugar a la sombra o "
     "caluroso dé especie y exposición, u otro factor"},
    {"assumed.dormant_months", "dormant months", "meses en reposo"},
    {"assumed.dormant_none", "none", "ninguno"},
    {"assumed.no_temperatures", "the file has no temperatures here; give dormant_months",
     "el archivo no tiene temperaturas aquí; dé dormant_months"},
    {"assumed.dormant_below", "mean temperature below {temperature}",
     "temperatura media menor de {temperature}"},
    {"assumed.dormant_frozen", "mean temperature at or below {temperature}",
     "temperatura media de {temperature} o menos"},
    {"assumed.frozen_ground", "frozen ground is not watered", "el suelo helado no se riega"},

    // Sprinklers
    {"assumed.wetted_area", "wetted area", "área mojada"},
    {"assumed.wetted_as_planted", "the planted area, as none was given",
     "el área plantada, pues no se dio otra"},
    {"assumed.planted_area", "planted area", "área plantada"},
    {"assumed.planted_as_wetted",
     "the wetted area, as none was given; need is counted over the planted area",
     "el área mojada, pues no se dio otra; la necesidad se cuenta sobre el área plantada"},
    {"assumed.area_used", "area used", "área usada"},
    {"assumed.areas", "{planted} for need and volume, {wetted} for storage, interval and cycles",
     "{planted} para necesidad y volumen, {wetted} para almacenamiento, intervalo y ciclos"},
    {"assumed.efficiency", "application efficiency", "eficiencia de aplicación"},
    {"assumed.drip", "{efficiency} (drip)", "{efficiency} (goteo)"},
    {"assumed.overhead", "{efficiency} (overhead)", "{efficiency} (aspersión)"},
    {"assumed.multiplier", "scheduling multiplier", "multiplicador de programación"},
    {"assumed.multiplier_value", "{multiplier} = 1/(0.4 + 0.6 x {uniformity})",
     "{multiplier} = 1/(0.4 + 0.6 x {uniformity})"},
    {"assumed.salinity_threshold", "soil-salinity threshold (ECe)",
     "umbral de salinidad del suelo (CEe)"},
    {"assumed.ec", "{value} dS/m", "{value} dS/m"},
    {"assumed.leaching", "leaching requirement", "requerimiento de lavado"},
    {"assumed.leaching_value", "{percent} of the water drains below the roots",
     "{percent} del agua drena por debajo de las raíces"},

    // Soil
    {"assumed.soil", "soil", "suelo"},
    {"assumed.soil_why", "soil not given; conservative for runoff. Check by feel or soil test",
     "no se dio el suelo; conservador para el escurrimiento. Compruebe al tacto o con un análisis "
     "de suelo"},
    {"assumed.soil_table", "soil table", "tabla de suelos"},
    {"assumed.finer_row", "the nearest finer texture's row for {texture}",
     "la fila de la textura más fina cercana para {texture}"},
    {"assumed.seven_textures", "the tables have seven of the twelve USDA textures",
     "las tablas tienen siete de las doce texturas del USDA"},
    {"assumed.slope", "slope", "pendiente"},
    {"assumed.level", "level (0 to 3%)", "plano (0 a 3%)"},
    {"assumed.slope_why", "slope not given", "no se dio la pendiente"},
    {"assumed.available_water", "available water", "agua disponible"},
    {"assumed.intake", "basic intake rate", "velocidad de infiltración básica"},
    {"assumed.surface", "allowable surface accumulation", "acumulación superficial permisible"},
    {"assumed.root_depth", "root depth", "profundidad de raíces"},
    {"assumed.depletion", "allowed depletion", "agotamiento permisible"},
    {"assumed.minimum_application", "minimum application", "lámina mínima"},
    {"assumed.half_depletion", "half of the allowable depletion where the days allow it",
     "la mitad del agotamiento permisible donde los días lo permitan"},
    {"assumed.half_depletion_why",
     "less wets only the upper roots, so days are cut before run times",
     "menos solo moja las raíces superiores, por eso se quitan días antes que minutos"},

    // Rain
    {"assumed.rain_credit", "rain credit", "lluvia descontada"},
    {"assumed.rain_credit_half",
     "none in the peak month; else effective rain by USDA-SCS, at most half the "
     "month's rain",
     "ninguna en el mes pico; en los demás, lluvia efectiva del USDA-SCS, a lo sumo la mitad de "
     "la lluvia del mes"},
    {"assumed.rain_credit_why",
     "a rain sensor already saves part of it, and percentages must not leave plants "
     "short in a dry spell",
     "un sensor de lluvia ya ahorra una parte, y los porcentajes no deben dejar a las plantas sin "
     "agua en una racha seca"},
    {"assumed.near_peak", "rain credit near the peak", "lluvia descontada cerca del pico"},
    {"assumed.near_peak_value",
     "from half of the greatest need on, falling in a straight line to none",
     "desde la mitad de la mayor necesidad, baja en línea recta hasta cero"},
    {"assumed.near_peak_why",
     "a month that needs nearly as much as the peak month needs nearly the same "
     "reserve for a dry spell",
     "un mes que necesita casi tanto como el mes pico requiere casi la misma reserva para una "
     "racha seca"},
    {"assumed.effective_rain", "effective rain", "lluvia efectiva"},
    {"assumed.effective_rain_scs", "monthly, by the allowable depletion",
     "mensual, según el agotamiento permisible"},
    {"assumed.effective_rain_dependable",
     "dependable rain: 0.6 P - 10 mm up to 70 mm a month, 0.8 P - 24 mm above",
     "lluvia confiable: 0.6 P - 10 mm hasta 70 mm por mes, 0.8 P - 24 mm arriba de eso"},
    {"assumed.rain", "rain", "lluvia"},
    {"assumed.rain_unknown", "none credited in months where it is unknown",
     "no se descuenta en los meses en que se desconoce"},
    {"assumed.rain_unknown_why", "the file has no rain there", "el archivo no tiene lluvia ahí"},
    {"assumed.peak_rain", "rain not credited in the peak month",
     "lluvia no descontada en el mes pico"},
    {"assumed.peak_rain_value", "{depth} that would help on average",
     "{depth} que en promedio ayudarían"},
    {"assumed.peak_rain_why",
     "reserve for a dry spell; rain_credit = \"soil-storage\" credits all months "
     "alike, without that reserve",
     "reserva para una racha seca; rain_credit = \"soil-storage\" descuenta todos los meses por "
     "igual, sin esa reserva"},

    // Months of a zone
    {"assumed.rain_intervals", "intervals that rely on rain", "intervalos que cuentan con lluvia"},
    {"assumed.rain_intervals_why",
     "without that rain, plants use half their normal water (water stress coefficient Ks = 0.5, "
     "FAO-56 eq. 84). In a dry spell return to peak-month days",
     "sin esa lluvia, las plantas usan la mitad de su agua normal (coeficiente de estrés hídrico "
     "Ks = 0.5, FAO-56 ec. 84). En una racha seca vuelva a los días del mes pico"},
    {"assumed.shallow", "shallow run times", "riegos poco profundos"},
    {"assumed.shallow_why",
     "fewer days would dry the soil too far, or the rules allow no more; skip a "
     "run if soil is moist at root depth",
     "menos días secarían demasiado el suelo, o las reglas no permiten más; omita un riego si el "
     "suelo está húmedo a la profundidad de las raíces"},
    {"assumed.longest_interval", "longest interval between waterings",
     "intervalo más largo entre riegos"},
    {"assumed.overdraft", "in {months} up to {depth} beyond the allowable depletion",
     "en {months} hasta {depth} más que el agotamiento permisible"},
    {"assumed.overdraft_why",
     "no closer days are allowed; less than {percent} of it, within the uncertainty of available "
     "water",
     "no se permiten días más cercanos; menos de {percent} de él, dentro de la incertidumbre del "
     "agua disponible"},
    {"assumed.months_off", "months left off", "meses sin riego"},
    {"assumed.months_off_why",
     "the need is less than one run of {minutes} in four weeks; soil water covers it",
     "la necesidad es menor que un riego de {minutes} en cuatro semanas; el agua del suelo la "
     "cubre"},

    // The site
    {"assumed.percent_of_peak", "percent of peak", "porcentaje del pico"},
    {"assumed.percent_of_peak_value", "net irrigation per day as a percent of the peak month",
     "riego neto por día como porcentaje del mes pico"},
    {"assumed.percent_of_peak_why", "months differ in length, and a controller is set by the week",
     "los meses no duran lo mismo y el controlador se ajusta por semana"},
    {"assumed.controller", "controller", "controlador"},
    {"assumed.controller_one_program",
     "steps of {percent}%, run times in steps of {minutes} min, up to 1 program",
     "pasos de {percent}%, tiempos de riego en pasos de {minutes} min, hasta 1 programa"},
    {"assumed.controller_programs",
     "steps of {percent}%, run times in steps of {minutes} min, up to {programs} programs",
     "pasos de {percent}%, tiempos de riego en pasos de {minutes} min, hasta {programs} "
     "programas"},
    {"assumed.controller_why", "set [controller] to match your controller",
     "ponga en [controller] los datos de su controlador"},
    {"assumed.settings", "settings", "ajustes"},
    {"assumed.settings_value",
     "at least {percent} of the need in each month, as near to it as the controller's steps allow",
     "al menos {percent} de la necesidad de cada mes, tan cerca de ella como permitan los pasos "
     "del controlador"},
    {"assumed.settings_why", "the percentage scales run times exactly; days and cycles stay",
     "el porcentaje escala los tiempos de riego con exactitud; los días y los ciclos quedan"},
    {"assumed.programs", "programs", "programas"},
    {"assumed.programs_value",
     "zones of like need share one while that exceeds their need by at most {percent}",
     "las zonas de necesidad parecida comparten uno mientras eso exceda su necesidad en {percent} "
     "o menos"},
    {"assumed.programs_why", "each program has its own days and percentages",
     "cada programa tiene sus propios días y porcentajes"},
    {"assumed.zones", "zones", "zonas"},
    {"assumed.one_valve", "one at a time", "una a la vez"},
    {"assumed.several_valves", "up to {count} at once, within the available flow",
     "hasta {count} a la vez, dentro del caudal disponible"},
    {"assumed.zones_why", "pressure and flow stay as designed",
     "la presión y el caudal quedan como en el diseño"},
    {"assumed.start_times", "start times", "horas de inicio"},
    {"assumed.start_times_value", "watering ends at about {time} where the runs fit before it",
     "el riego termina hacia las {time} si los riegos caben antes"},
    {"assumed.start_times_why",
     "before sunrise there is little wind and evaporation; set window_start for another time",
     "antes de salir el sol hay poco viento y evaporación; ponga otra hora en window_start"},
    {"assumed.comparisons", "comparisons", "comparaciones"},
    {"assumed.comparisons_value", "base run times without or with few seasonal changes",
     "tiempos de riego base sin cambios de temporada o con pocos"},
    {"assumed.comparisons_why",
     "each zone is on only in months of need, except in the 12-month figure",
     "cada zona riega solo en los meses con necesidad, salvo en la cifra de 12 meses"},
    {"assumed.rain_sensor", "rain sensor", "sensor de lluvia"},
    {"assumed.rain_sensor_value", "half of the allowable depletion, rounded down to a sensor step",
     "la mitad del agotamiento permisible, redondeada hacia abajo a un paso del sensor"},
    {"assumed.rain_sensor_why",
     "between waterings the soil is half depleted on average; one sensor: the largest zone "
     "value",
     "entre riegos el suelo está en promedio a medio agotar; un solo sensor: el mayor valor de "
     "las zonas"},
    {"assumed.sensor_steps", "rain sensor steps", "pasos del sensor de lluvia"},
    {"assumed.sensor_steps_value", "1/8, 1/4, 1/2, 3/4 and 1 in (3, 6, 13, 19 and 25 mm)",
     "1/8, 1/4, 1/2, 3/4 y 1 pulg (3, 6, 13, 19 y 25 mm)"},
    {"assumed.sensor_steps_why", "as such sensors are sold; from memory",
     "como se venden estos sensores; de memoria"},
    {"assumed.season", "season", "temporada"},
    {"assumed.all_year", "all year", "todo el año"},
    {"assumed.off_in", "off in {months}", "apagado en {months}"},
    {"assumed.season_given", "from the zone file or options",
     "del archivo de zonas o las opciones"},
    {"assumed.season_by_frost",
     "off where the mean daily minimum is at or below freezing; local freeze dates come first",
     "apagado donde la mínima media diaria es de 0 °C o menos; las fechas locales de helada "
     "tienen prioridad"},
    {"assumed.peak_uncertainty", "uncertainty of the peak need",
     "incertidumbre de la necesidad pico"},
    {"assumed.peak_uncertainty_value",
     "standard errors of mean ETo and rain, taken as independent; conservative: the 80th "
     "percentile of the mean, not a dry year",
     "errores estándar de la ETo y la lluvia medias, tomados como independientes; conservadora: "
     "el percentil 80 del promedio, no un año seco"},
    {"assumed.peak_uncertainty_why",
     "their correlation is not in the file; the plant coefficient's own error is not included",
     "su correlación no está en el archivo; no se incluye el error del coeficiente de la planta"},
    {"assumed.cost", "cost of watering", "costo del riego"},
    {"assumed.cost_value", "what it adds to the bills, without fixed charges",
     "lo que agrega a los recibos, sin cargos fijos"},
    {"assumed.cost_why",
     "indoor use fills the tiers first; fixed charges do not depend on watering",
     "el consumo interior ocupa primero los escalones de tarifa; los cargos fijos no dependen del "
     "riego"},
    {"assumed.sewer", "sewer", "drenaje"},
    {"assumed.sewer_value", "{percent} of the charge for water by volume, added to it",
     "{percent} del cargo por volumen de agua, sumado a él"},
    {"assumed.sewer_why", "as given; many suppliers waive it for irrigation",
     "como se dio; muchos proveedores no lo cobran por el riego"},
    {"assumed.new_planting", "new planting", "plantación nueva"},
    {"assumed.new_planting_value", "not included in the annual total",
     "no incluida en el total anual"},
    {"assumed.new_planting_why",
     "the establishment schedule ends on a date; check it separately against allowances and the "
     "water window",
     "el programa de establecimiento termina en una fecha; compárelo aparte con las cuotas y la "
     "ventana de riego"},
});

}  // namespace thirstline
