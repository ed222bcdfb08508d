// @ts-check
/**
 * What goes into the engine and what comes out. The twin of `engine/shapes.py`: types that check
 * nothing, and the default rule for lameness; what a standard may hold is checked by the server alone.
 *
 * @typedef {{ key: string, title: string, views: string[], weight: number, faulty: string, good?: string | null,
 *   more?: string | null, sexes?: string[] | null, first?: boolean | null }} Trait
 * @typedef {{ key: string, title: string, traits: Trait[] }} Criterion
 * @typedef {{ format: string, key: string, title: string, views: string[], degrees: number[],
 *   criteria: Criterion[] }} Standard
 * @typedef {{ from_grade: number, outcome: string }} Lameness
 * @typedef {{ id: string, title: string, standard: string | object, sexes: string[], ages: string[], places: number,
 *   lameness?: Lameness | null }} ShowClass
 * @typedef {{ number: string, identification?: string | null }} Entry
 *
 * One immutable fact somebody wrote; which further fields it has depends on its kind.
 * @typedef {{ id: string, kind: string, by: string, at: number, replaces: string[], class?: string,
 *   card?: string | null, number?: string | null, trait?: string, view?: string, degree?: number | null,
 *   done?: boolean | null, text?: string | null, tag?: string | null, about?: string | null, pair?: string[],
 *   winner?: string | null, outcome?: string | null, reason?: string | null, numbers?: string[] | null,
 *   observer?: string | null, grade?: number | null, gait?: string | null, limb?: string | null,
 *   circumstance?: string | null, state?: string | null, identification?: string | null, now?: string | null }} Note
 *
 * A slot with its current notes: `used` is the one in force, even when its value is null.
 * @typedef {{ slot: string[], current: string[], used: Note }} Slot
 * @typedef {{ slot: string[], notes: string[], used: string }} Dispute
 * @typedef {{ entries: Entry[], reads_as: Map<string, string>, slots: Slot[], disputes: Dispute[] }} Merged
 */

/** Common practice at open shows: lame at every trot or worse stands last. @type {Lameness} */
export const DEFAULT_LAMENESS = { from_grade: 3, outcome: "last" };
