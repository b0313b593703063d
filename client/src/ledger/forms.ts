/** Runs the checks of bodies.ts. The server runs the same ones, by marshmallow: same verdict, same words. */
import { bodyForms, jobForms, type JobKind, type Kind } from './bodies'
import type { Form, ObjectForm } from './body-form'
import { LedgerError } from './errors'
import * as words from '../words/en/ledger/fields'
import { t } from '../words/message'
import * as bodyWords from '../words/en/ledger/bodies'

export const forms = {
  sha256: '[0-9a-f]{64}',
  key: '[A-Za-z0-9_-]{43}',
  uuid7: '[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}',
  kind: '[a-z][a-z0-9_]{0,31}\\.[a-z][a-z0-9_]{0,31}',
  at: '[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\\.[0-9]{3}Z',
}

/** Whether a value is text of a form, from its first character to its last. */
export function isFormed(value: unknown, pattern: string): value is string {
  return typeof value === 'string' && new RegExp(`^(?:${pattern})$`).test(value)
}

export function isKind(kind: string): kind is Kind {
  return Object.hasOwn(bodyForms, kind)
}

export function isJobKind(kind: Kind): kind is JobKind {
  return Object.hasOwn(jobForms, kind)
}

/**
 * Check that a body says what its kind must say. Fields and kinds that we do not know pass: false then,
 * the entry was written by a newer program, and is kept and passed on, and not judged.
 *
 * @throws {LedgerError} `bad-body`, naming each field that is wrong and what was expected of it.
 */
export function checkBody(kind: string, body: unknown): boolean {
  if (!isKind(kind)) return false
  const faults = objectFaults(bodyForms[kind], body, 'body')
  if (faults.length > 0) {
    throw new LedgerError('bad-body', `${kind}: ${faults.join('; ')}`, t(bodyWords.badBodyHint))
  }
  return isWhole(bodyForms[kind], body)
}

/** Whether we know all that a body says, to its depth; one that was checked before. */
export function readsAll(kind: string, body: unknown): kind is Kind {
  return isKind(kind) && isWhole(bodyForms[kind], body)
}

function isWhole(form: Form | ObjectForm, value: unknown): boolean {
  if ('object' in form) return isWhole(form.object, value)
  if ('list' in form) return (value as unknown[]).every((one) => isWhole(form.list, one))
  if (!('members' in form)) return true
  return Object.entries(value as object).every(([name, inner]) => {
    const known = [name, `${name}?`].find((each) => Object.hasOwn(form.members, each))
    return known !== undefined && !name.endsWith('?') && isWhole(form.members[known]!, inner)
  })
}

function objectFaults(form: ObjectForm, value: unknown, where: string): string[] {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return [`${where}: ${t(words.notAnObject)}`]
  const found = value as Record<string, unknown>
  const faults: string[] = []
  for (const [member, inner] of Object.entries(form.members)) {
    const name = member.replace('?', '')
    if (Object.hasOwn(found, name)) faults.push(...formFaults(inner, found[name], `${where}.${name}`))
    else if (name === member) faults.push(`${where}.${name}: ${t(words.missingMember)}`)
  }
  if (form.any_of && !form.any_of.some((name) => Object.hasOwn(found, name))) {
    faults.push(`${where}.${form.any_of[0]}: ${t(words.missing, { expected: form.any_of.join(' or ') })}`)
  }
  return faults
}

function formFaults(form: Form, value: unknown, where: string): string[] {
  if ('object' in form) return objectFaults(form.object, value, where)
  if ('list' in form && Array.isArray(value)) {
    const inner = value.flatMap((one, place) => formFaults(form.list, one, `${where}.${place}`))
    if (inner.length > 0) return inner
  }
  return isRight(form, value) ? [] : [`${where}: ${t(words.expected, { expected: expectedOf(form) })}`]
}

type Leaf = Exclude<Form, { object: ObjectForm }>

function expectedOf(form: Leaf): string {
  if ('pattern' in form) return form.expected
  if ('from' in form) return t(words.aWholeNumber, { smallest: form.from })
  if ('choices' in form) return t(words.oneOf) + form.choices.join(', ')
  const [shortest, longest] = 'list' in form ? form.length : form.text
  return t('list' in form ? words.aList : words.aText, { shortest, longest })
}

function isRight(form: Leaf, value: unknown): boolean {
  if ('pattern' in form) return isFormed(value, form.pattern)
  if ('from' in form) return typeof value === 'number' && Number.isInteger(value) && value >= form.from
  if ('list' in form) return Array.isArray(value) && isWithin(value.length, form.length)
  if (typeof value !== 'string') return false
  return 'choices' in form ? form.choices.includes(value) : isWithin([...value].length, form.text)
}

function isWithin(length: number, [shortest, longest]: readonly [number, number]): boolean {
  return shortest <= length && length <= longest
}
