// What the winds that blow make of a part's polar cells: the same sums as derate's summary.
import { audit, partsOf, partIndex, result, UPWIND_DEG, REACHING_DEG, windowOf } from "./data.js";

export const POINTS_OF_SAILING = ["upwind", "reaching", "running"];
export const pointOf = (twa) => (twa <= UPWIND_DEG ? 0 : twa <= REACHING_DEG ? 1 : 2);

const mean = (sum, weight) => (weight > 0 ? sum / weight : null);

function summed(part) {
  const { flat_kn, corrected_kn, factor, twa_deg, tws_kn, wind_share, stopped_share, dominant_stage } = part.columns;
  const all = { weight: 0, lost: 0, factor: 0, stopped: 0 }, points = [0, 0, 0], weights = [0, 0, 0];
  const stages = new Map(), winds = new Map();
  flat_kn.forEach((flat, i) => {
    winds.set(tws_kn[i], wind_share[i]);
    if (!(flat > 0) || !(wind_share[i] > 0)) return;
    const weight = wind_share[i], lost = flat - corrected_kn[i], point = pointOf(twa_deg[i]);
    all.weight += weight;
    all.lost += weight * lost;
    all.factor += weight * (factor[i] ?? 1);
    all.stopped += weight * stopped_share[i];
    points[point] += weight * lost;
    weights[point] += weight;
    const stage = audit.words.dominant_stage[dominant_stage[i]];
    if (stage !== "none") stages.set(stage, (stages.get(stage) ?? 0) + weight * lost);
  });
  return {
    lost: mean(all.lost, all.weight), factor: mean(all.factor, all.weight), stopped: mean(all.stopped, all.weight) ?? 0,
    points: points.map((sum, k) => mean(sum, weights[k])),
    stage: d3.greatest(stages, ([, lost]) => lost)?.[0] ?? null,
    winds: d3.sort(winds, ([tws]) => tws),
  };
}

const made = new Map();
// Means of a part: knots lost at all angles and by point of sailing, factor, share stopped, what loses most, shares of winds.
export function means(index) {
  if (index < 0) return null;
  if (!made.has(index)) made.set(index, summed(audit.parts[index]));
  return made.get(index);
}

// The wind speed of the polar that blows most in a part.
export const commonestWind = (index) => d3.greatest(means(index)?.winds ?? [], ([, share]) => share)?.[0] ?? null;

function regionMeans(name) {
  const parts = partsOf(name).map(({ part, index }) => ({ window: windowOf(part), index, ...means(index) })).filter((part) => part.lost !== null);
  const points = [0, 1, 2].map((k) => d3.mean(parts, (part) => part.points[k]) ?? null);
  return {
    name, points, parts, lost: d3.mean(parts, (part) => part.lost) ?? null, stopped: d3.mean(parts, (part) => part.stopped) ?? 0,
    worst: d3.greatest(parts, (part) => part.lost) ?? null,
  };
}

// Regions by the knots that the winds that blow lose there, most first: the one ranking of every view.
const all = [...new Set([...result.regions.map((region) => region.name), ...audit.parts.map((part) => part.region)])];
export const ranking = d3.sort(all.map(regionMeans), (a, b) => d3.descending(a.lost ?? -Infinity, b.lost ?? -Infinity));
export const names = ranking.map((region) => region.name);
export const rank = (name) => names.indexOf(name) + 1;
export const meansAt = (region, window) => means(partIndex(region, window));
