// What is done when: the plan of each cup, corrected by what was tapped. Seconds in, seconds out.
// A cup goes through phases: 2n is the wait before its step n, 2n + 1 the step. `ended` holds when
// a phase was ended by a tap, `held` the phase that goes on until it is, `skipped` steps left out.
export const noTaps = () => ({ ended: {}, skipped: {}, held: null });

// Whether a step begins as the one before it ends, rather than at a time of its own.
const followsOn = (steps, n) => n > 0 && steps[n].starts <= steps[n - 1].ends;

function coming(cup, lead, now) {
  const { steps, out, taps } = cup;
  const n = out.length;
  const step = steps[n];
  const first = steps[0].starts;
  let starts = step.starts;
  if (n) starts = followsOn(steps, n) ? out[n - 1].ends : Math.max(out[n - 1].ends, out[0].starts + step.starts - first);
  else if (cup !== lead) starts += lead.out[0].starts - lead.steps[0].starts;
  if (step.hand) starts = Math.max(starts, cup.handsFrom);
  if (2 * n in taps.ended) starts = taps.ended[2 * n];
  else if (taps.held === 2 * n) starts = Math.max(starts, now);
  // A steep counts from the first water on, however long hands took in between.
  const water = n ? out[0].starts : starts;
  let ends = step.hand ? starts + step.ends - step.starts : Math.max(starts, water + step.ends - first);
  if (taps.skipped[n]) ends = starts;
  const tapped = taps.ended[2 * n + 1];
  if (tapped !== undefined) [starts, ends] = [Math.min(starts, tapped), tapped];
  else if (taps.held === 2 * n + 1) ends = Math.max(ends, now);
  return { ...step, starts, ends, skipped: !!taps.skipped[n] };
}

// The steps of each cup as they were and will be. No step by hand begins while hands are at the
// other cup or turning to it (`turn` seconds), unless it was tapped so.
export function times(plan, taps, now, turn) {
  const cups = Object.keys(plan).map((letter) => (
    { letter, steps: plan[letter], out: [], handsFrom: 0, taps: taps[letter] ?? noTaps() }));
  const lead = cups.reduce((one, other) => (other.steps[0].starts < one.steps[0].starts ? other : one));
  for (;;) {
    const open = cups.filter((cup) => cup.out.length < cup.steps.length && (cup === lead || lead.out.length));
    if (!open.length) break;
    const [{ cup, step }] = open
      .map((one) => ({ cup: one, step: coming(one, lead, now) }))
      .sort((one, other) => one.step.starts - other.step.starts);
    cup.out.push(step);
    if (!step.hand || step.skipped) continue;
    for (const other of cups) {
      if (other !== cup) other.handsFrom = Math.max(other.handsFrom, step.ends + turn);
    }
  }
  for (const { steps, out, taps: tapped } of cups) {
    out.forEach((step, n) => {
      const next = out[n + 1];
      if (step.hand || !next || 2 * n + 1 in tapped.ended || !followsOn(steps, n + 1)) return;
      step.ends = Math.max(step.ends, next.starts);
    });
  }
  return Object.fromEntries(cups.map(({ letter, out }) => [letter, out]));
}

// The phase a cup is in, with its step and whether that is on; none once all is done.
export function phase(steps, taps, now) {
  for (const [n, step] of steps.entries()) {
    if (!step.skipped && (now < step.starts || taps.held === 2 * n)) return { phase: 2 * n, n, step, on: false };
    if (now < step.ends || taps.held === 2 * n + 1) return { phase: 2 * n + 1, n, step, on: true };
  }
  return { phase: 2 * steps.length, n: steps.length, step: null, on: false };
}

// The phase before it, which goes on if this one has not begun; none before the first.
export function before(steps, at) {
  const waited = at.on && (at.n === 0 || steps[at.n].starts - steps[at.n - 1].ends > 0.01);
  return waited ? at.phase - 1 : at.n > 0 ? 2 * at.n - 1 : null;
}

// What came before a tap has happened, whatever is tapped at the other cup later.
function settle(steps, taps, wanted) {
  for (let n = 0; 2 * n < wanted; n += 1) {
    taps.ended[2 * n] ??= steps[n].starts;
    if (2 * n + 1 < wanted) taps.ended[2 * n + 1] ??= steps[n].ends;
  }
}

export function end(steps, taps, at, now) {
  settle(steps, taps, at.phase);
  taps.held = null;
  taps.ended[at.phase] = now;
  // What begins with that tap has begun, whatever the other cup needs.
  const next = steps[at.n + 1];
  if (at.on && next && next.starts - steps[at.n].ends < 0.01) taps.ended[at.phase + 1] = now;
}

export function hold(steps, taps, wanted) {
  for (const ended of Object.keys(taps.ended)) if (Number(ended) >= wanted) delete taps.ended[ended];
  settle(steps, taps, wanted);
  taps.held = wanted;
  if (wanted % 2) delete taps.skipped[(wanted - 1) / 2];
}

export function skip(steps, taps, at, now) {
  settle(steps, taps, at.phase);
  taps.held = null;
  taps.skipped[at.n] = true;
  if (at.on) taps.ended[at.phase] = now;
}
