// What the npm package answers, as plain data; runs in Node and in browsers.

/** For each question, {lat, lon} or {code}: null, or {distance_m, layers} with the exact integers. */
export async function packageAnswers(openImage, source, questions) {
  const image = await openImage(source);
  const answers = [];
  for (const { lat, lon, code } of questions) {
    const site = code === undefined ? await image.site(lat, lon) : await image.postal(code);
    answers.push(
      site && {
        distance_m: Math.round(site.point.distance_km * 1000),
        layers: Object.fromEntries(Object.entries(site.layers).map(([name, { values }]) => [name, values])),
      },
    );
  }
  await image.close();
  return answers;
}
