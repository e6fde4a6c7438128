// Sentences about a site's climate in both languages.
#pragma once

#include <array>

#include "lookup/texts/text_row.hpp"
#include "schema/tile/method_notes.hpp"

namespace thirstline {

inline constexpr auto kSiteRows = std::to_array<TextRow>({
    {"site.north", "N", "N"},
    {"site.south", "S", "S"},
    {"site.east", "E", "E"},
    {"site.west", "W", "O"},
    {"site.nearest_point", "Nearest point with data: {distance} away, at {position}",
     "Punto más cercano con datos: a {distance}, en {position}"},
    {"site.adjusted", "Adjusted from {from} to {to}.", "Ajustado de {from} a {to} de altitud."},
    {"site.elevation_of_data",
     "Elevation of the data: {elevation}. If your site's differs, use --elevation.",
     "Altitud de los datos: {elevation}. Si la del sitio es otra, use --elevation."},
    {"site.method", "{reference}, {equation}.", "{reference}, {equation}."},
    {"site.method_with_note", "{reference}, {equation}; {note}.",
     "{reference}, {equation}; {note}."},
    {"site.eto", "ETo: reference evapotranspiration of well-watered, clipped grass",
     "ETo: evapotranspiración de referencia de pasto bien regado y podado"},
    {"site.etr", "ETr: reference evapotranspiration of a tall, well-watered crop (alfalfa)",
     "ETr: evapotranspiración de referencia de un cultivo alto bien regado (alfalfa)"},
    {"site.equation.grid", "published ETo grid", "malla de ETo publicada"},
    {"site.equation.asce", "ASCE-EWRI 2005 Penman-Monteith", "Penman-Monteith de ASCE-EWRI 2005"},
    {"site.equation.fao56", "FAO-56 Penman-Monteith", "Penman-Monteith de FAO-56"},
    {"site.equation.hargreaves", "Hargreaves-Samani", "Hargreaves-Samani"},
    {"site.note.grid", equation_note(EtoEquation::grid_of_eto),
     "tomada de una malla publicada, sin corrección"},
    {"site.note.hargreaves_scaled", equation_note(EtoEquation::hargreaves_scaled),
     "solo con temperatura, ajustada a Penman-Monteith de puntos cercanos"},
    {"site.note.hargreaves", equation_note(EtoEquation::hargreaves), "solo con temperatura"},
    {"site.note.dew_point", humidity_note(HumidityFrom::dew_point), "humedad del punto de rocío"},
    {"site.note.relative_humidity", humidity_note(HumidityFrom::relative_humidity),
     "humedad de la humedad relativa media"},
    {"site.note.nearby_depression", humidity_note(HumidityFrom::nearby_depression),
     "humedad de la temperatura mínima y puntos de rocío cercanos"},
    {"site.note.aridity_depression", humidity_note(HumidityFrom::aridity_depression),
     "humedad estimada de la temperatura mínima y la lluvia"},
    {"site.note.wind_nearby", wind_note(WindFrom::nearby), "viento interpolado de puntos cercanos"},
    {"site.note.wind_unknown", wind_note(WindFrom::two_m_per_s),
     "viento desconocido, se toma 2 m/s"},
    {"site.note.sunshine", radiation_note(RadiationFrom::sunshine),
     "radiación de las horas de sol"},
    {"site.note.cloud", radiation_note(RadiationFrom::cloud), "radiación de la nubosidad"},
    {"site.note.range_fitted", radiation_note(RadiationFrom::temperature_range_fitted),
     "radiación de la oscilación diaria de temperatura, ajustada con puntos cercanos"},
    {"site.note.range", radiation_note(RadiationFrom::temperature_range),
     "radiación de la oscilación diaria de temperatura"},
    {"site.normals.interpolated", "Normals, interpolated from the surrounding grid points.",
     "Normales climáticas, interpoladas de los puntos vecinos de la malla."},
    {"site.normals.nearest", "Normals, from the nearest grid point with data.",
     "Normales climáticas, del punto más cercano de la malla con datos."},
    {"site.normals.period_interpolated",
     "Normals of {period}, interpolated from the surrounding grid points.",
     "Normales climáticas de {period}, interpoladas de los puntos vecinos de la malla."},
    {"site.normals.period_nearest", "Normals of {period}, from the nearest grid point with data.",
     "Normales climáticas de {period}, del punto más cercano de la malla con datos."},
    {"site.lattice", "From the data of {name}, with points {spacing} arc-seconds apart.",
     "De los datos de {name}, con puntos cada {spacing} segundos de arco."},
    {"site.period_of_kind", "{kind} {periods}", "{kind} {periods}"},
    {"site.kind.temperature", "temperature", "temperatura"},
    {"site.kind.rain", "rain", "lluvia"},
    {"site.kind.humidity", "humidity", "humedad"},
    {"site.kind.wind", "wind", "viento"},
    {"site.kind.radiation", "radiation", "radiación"},
    {"site.kind.reference_et", "reference ET", "ET de referencia"},
    {"site.any_month", "any month", "ningún mes"},
    {"site.correction.reference",
     "Site correction: most weather stations are drier and hotter than irrigated "
     "sites. In dry months temperature and dew point are moved part of the way to "
     "irrigated conditions (after FAO-56 Annex 6; the limit of 3 degrees C (5.4 F) and the "
     "weight by dryness are Thirstline's own).",
     "Corrección del sitio: la mayoría de las estaciones meteorológicas son más secas y calurosas "
     "que los sitios regados. En los meses secos la temperatura y el punto de rocío se acercan en "
     "parte a las condiciones de riego (según el Anexo 6 de FAO-56; el límite de 3 grados C (5.4 "
     "F) y "
     "la "
     "ponderación por sequedad son de Thirstline)."},
    {"site.correction.not_wanted",
     "Site correction: none. Weather is used as measured, which tends to overstate "
     "ETo in dry areas.",
     "Corrección del sitio: ninguna. El clima se usa como se midió, lo que tiende a exagerar la "
     "ETo en zonas secas."},
    {"site.correction.rain_unknown",
     "Site correction: none in {months}, because rain is unknown; this tends to overstate ETo in "
     "dry areas.",
     "Corrección del sitio: no se hizo en {months} porque se desconoce la lluvia; esto tiende a "
     "exagerar la ETo en zonas secas."},
    {"site.correction.grid", "Site correction: none; the published ETo grid is used unchanged.",
     "Corrección del sitio: ninguna; la malla de ETo publicada se usa sin cambios."},
    {"site.no_errors", "This file has no standard errors.",
     "Este archivo no tiene errores estándar."},
    {"site.errors",
     "± is one standard error of the normal; the 90% interval is ±1.645 standard errors. Single "
     "years vary more.",
     "± es un error estándar de la normal; el intervalo de 90% es de ±1.645 errores estándar. "
     "Cada año por separado varía más."},
    {"site.own", "own: your own monthly data, used in place of the database's, {file} ({values}).",
     "propios: sus datos mensuales, usados en lugar de los de la base de datos, {file} "
     "({values})."},
    {"site.own_eto", "ETo {months}", "ETo {months}"},
    {"site.own_rain", "rain {months}", "lluvia {months}"},
    {"site.rain", "Rain is total precipitation, including snow water equivalent.",
     "La lluvia es la precipitación total, incluido el equivalente en agua de la nieve."},
    {"site.year_hidden",
     "These are means of many years: a reference lawn needs {mean} of irrigation a year by them, "
     "and "
     "more in about {above} years of 10. In the dry year, which 2 years of 10 exceed, it needs "
     "{dry} (--year dry).",
     "Son promedios de muchos años: según ellos un césped de referencia necesita {mean} de riego "
     "al "
     "año, y más en unos {above} años de cada 10. En el año seco, superado en 2 de cada 10, "
     "necesita "
     "{dry} (--year dry)."},
    {"site.year_heading", "Not the mean: the year of {percent}% by need for irrigation.",
     "No es el promedio: es el año de {percent}% según la necesidad de riego."},
    {"site.year_moved",
     "The year of {percent}%: a whole year whose need for irrigation {percent}% of years do not "
     "exceed, from the variation between years at stations. A reference lawn (0.8 ETo less "
     "effective rain) then needs {need}; by the means, {mean}. Temperatures are the means.",
     "El año de {percent}%: un año completo cuya necesidad de riego no superan {percent}% de los "
     "años, según la variación entre años en las estaciones. Un césped de referencia (0.8 ETo "
     "menos "
     "la lluvia efectiva) necesita entonces {need}; según los promedios, {mean}. Las temperaturas "
     "son los promedios."},
    {"site.normal", "A normal is the mean of many years, not a forecast.",
     "Una normal es el promedio de muchos años, no un pronóstico."},
    {"season.heading", "Season, estimated from monthly means",
     "Temporada, estimada de los promedios mensuales"},
    {"season.last",
     "Last freeze in spring ({limit} or below): {median} in the median year; {one_in_ten} or later "
     "in one year in ten.",
     "Última helada de primavera ({limit} o menos): {median} en el año mediano; {one_in_ten} o "
     "después en uno de cada 10 años."},
    {"season.last_median",
     "Last freeze in spring ({limit} or below): {median} in the median year; in midsummer in more "
     "than one year in ten.",
     "Última helada de primavera ({limit} o menos): {median} en el año mediano; a mitad del "
     "verano en más de uno de cada 10 años."},
    {"season.last_one_in_ten",
     "Last freeze in spring ({limit} or below): {one_in_ten} or later in one year in ten; none in "
     "most years.",
     "Última helada de primavera ({limit} o menos): {one_in_ten} o después en uno de cada 10 "
     "años; ninguna en la mayoría de los años."},
    {"season.first",
     "First freeze in fall ({limit} or below): {median} in the median year; {one_in_ten} or "
     "earlier in one year in ten.",
     "Primera helada de otoño ({limit} o menos): {median} en el año mediano; {one_in_ten} o antes "
     "en uno de cada 10 años."},
    {"season.first_median",
     "First freeze in fall ({limit} or below): {median} in the median year; in midsummer in "
     "more than one year in ten.",
     "Primera helada de otoño ({limit} o menos): {median} en el año mediano; a mitad del verano "
     "en más de uno de cada 10 años."},
    {"season.first_one_in_ten",
     "First freeze in fall ({limit} or below): {one_in_ten} or earlier in one year in ten; none "
     "in most years.",
     "Primera helada de otoño ({limit} o menos): {one_in_ten} o antes en uno de cada 10 años; "
     "ninguna en la mayoría de los años."},
    {"season.error", "Standard error of these dates: {days} days, more in frost hollows.",
     "Error estándar de estas fechas: {days} días; mayor en hondonadas."},
    {"season.rare", "Freeze ({limit} or below): in few years or none.",
     "Heladas ({limit} o menos): en pocos años o ninguno."},
    {"season.in_midsummer", "Freeze ({limit} or below): also in midsummer in most years.",
     "Heladas ({limit} o menos): también a mitad del verano en la mayoría de los años."},
    {"season.growing",
     "Growing season (mean temperature {limit} or above): {start} to {end}. Standard error: {days} "
     "days.",
     "Temporada de crecimiento (temperatura media de {limit} o más): {start} a {end}. Error "
     "estándar: {days} días."},
    {"season.growing_all_year", "Growing season (mean temperature {limit} or above): all year.",
     "Temporada de crecimiento (temperatura media de {limit} o más): todo el año."},
    {"season.growing_never", "Growing season (mean temperature {limit} or above): none.",
     "Temporada de crecimiento (temperatura media de {limit} o más): ninguna."},
    {"source.license", "License: {license}", "Licencia: {license}"},
    {"source.baseline", "Baseline: {title}", "Base climática: {title}"},
    {"source.publisher", "Published by {publisher}", "Publicado por {publisher}"},
});

}  // namespace thirstline
