import { KNOWN_GOOD_SCHEMA } from './known-good.js';
/**
 * A known-good document out of whatever a file held; a sentence that says what is wrong with it otherwise. The file may come from
 * anywhere, so every field is looked at.
 */
export function checkKnownGood(document) {
    const { schema, circuit, limits } = (document ?? {});
    if (schema !== KNOWN_GOOD_SCHEMA || !Array.isArray(limits))
        return `it holds no limits (its schema is not ${KNOWN_GOOD_SCHEMA})`;
    const bad = limits.findIndex((limit) => !isLimit(limit));
    if (bad >= 0)
        return `limit number ${bad + 1} is not whole (direction, metric, low below high)`;
    return { schema: KNOWN_GOOD_SCHEMA, circuit: typeof circuit === 'string' ? circuit : '', limits: limits, problems: [] };
}
function isLimit(limit) {
    const { direction, metric, low, high } = (limit ?? {});
    return (direction === 'forward' || direction === 'reverse') && typeof metric === 'string' && typeof low === 'number' && typeof high === 'number' && low <= high;
}
//# sourceMappingURL=known-good-check.js.map