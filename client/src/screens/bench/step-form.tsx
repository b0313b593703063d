/** One step as fields: its words and figures, what it gives and how it fails; each can be added and taken out. */
import type { Document } from 'yaml'
import type { ProofKind, Step } from '../../procedure/shape'
import { namesAt, nodeAt, wordsAt, type Path } from './edits'
import { Adding, TakeOut, Words } from './fields'
import { asFlow, fromFlow } from './flow'
import { hasBelow, listOf, membersOf, partIn, saidOf, saying, type Member, type Part } from './step-part'
import { failureOf, freshName, optionOf, proofOf, STEP_PARTS, type StepPart } from './starters'
import type { Put, Value } from './structure'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/step-form'
import { t } from '../../words/message'

interface StepFormProps {
  document: Document
  /** The step in the source. */
  at: Path
  /** As it compiled last; null before it does. */
  compiled: Step | null
  put: Put
}

const TEXTS = ['title', 'act', 'because', 'drawn', 'together', 'must', 'once', 'undo'] as const
const LISTS = ['look', 'does', 'tools_out', 'tools_in'] as const
const MAPPINGS = ['asks', 'takes'] as const
/** What a step of its own cannot be without; a step of a block has them from there. */
const ALWAYS = ['title', 'act', 'says']
const PROOF = [
  'label',
  'unit',
  'low',
  'high',
  'target',
  'tool',
  'hint',
  'by',
  'of',
  'wheel',
  'like',
  'part',
] as const
const FAILURE = ['says', 'then', 'finding'] as const
const OPTION = ['says', 'ok', 'finding'] as const
/** Every kind of proof has its words, in the order in which they are offered. */
const OFFERED: Readonly<Record<ProofKind, string>> = words.kinds
const KINDS = Object.keys(OFFERED) as ProofKind[]

type WriteText = (part: Part, field: string, label: string, mayGo?: boolean) => preact.JSX.Element | null

export function StepForm({ document, at, compiled, put }: StepFormProps) {
  const isOwn = wordsAt(document, [...at, 'id']) !== null
  const step: Part = { at, below: isOwn ? null : compiled, named: [] }
  const here = namesAt(document, at)
  const text: WriteText = (part, field, label, mayGo = true) => {
    const said = saidOf(document, part, field)
    return (
      said && (
        <Words
          key={[...part.at, field].join(' ')}
          label={label}
          hint={said.isBelow ? t(words.fromBlock) : undefined}
          value={said.words}
          onValue={(value) => put(...saying(part, field, value))}
          takeOut={mayGo && !said.isBelow ? () => put([[...part.at, field], null]) : undefined}
        />
      )
    )
  }
  const flow = (part: Part, field: string, label: string, kind: 'list' | 'mapping') => (
    <Flow key={field} document={document} part={part} field={field} label={label} kind={kind} put={put} />
  )
  const missing = (Object.keys(STEP_PARTS) as StepPart[]).filter(
    (name) => !here.includes(name) && !hasBelow(step, name),
  )
  const members = { document, step, text, flow, put }
  return (
    <>
      {TEXTS.map((name) => text(step, name, t(words.fields[name]), !(isOwn && ALWAYS.includes(name))))}
      <Sentences document={document} step={step} isOwn={isOwn} put={put} />
      {(here.includes('caution') || hasBelow(step, 'caution')) && (
        <Group
          name={t(words.fields.caution)}
          takeOut={here.includes('caution') ? () => put([[...at, 'caution'], null]) : undefined}
        >
          {text(partIn(step, 'caution'), 'sign', t(words.fields.sign), false)}
          {text(partIn(step, 'caution'), 'says', t(words.fields.says), false)}
        </Group>
      )}
      {(here.includes('torque') || hasBelow(step, 'torque')) && (
        <Group
          name={t(words.fields.torque)}
          takeOut={here.includes('torque') ? () => put([[...at, 'torque'], null]) : undefined}
        >
          {text(partIn(step, 'torque'), 'nm', t(words.fields.nm), false)}
          {text(partIn(step, 'torque'), 'angle_deg', t(words.fields.angle_deg))}
          {flow(partIn(step, 'torque'), 'sequence', t(words.fields.sequence), 'list')}
        </Group>
      )}
      {LISTS.map((name) => flow(step, name, t(words.fields[name]), 'list'))}
      {MAPPINGS.map((name) => flow(step, name, t(words.fields[name]), 'mapping'))}
      <Adding
        label={t(words.add.part)}
        options={missing.map((value) => ({ value, words: t(words.fields[value]) }))}
        add={(name) => put([[...at, name], STEP_PARTS[name] as Value])}
      />
      <Proofs {...members} />
      <Failures {...members} />
    </>
  )
}

/** The sentences of a step: those of a block are said anew, all of them, once one is another. */
function Sentences({
  document,
  step,
  isOwn,
  put,
}: Pick<StepFormProps, 'document' | 'put'> & { step: Part; isOwn: boolean }) {
  const { words: sentences, isBelow } = listOf(document, step, 'says')
  const place = [...step.at, 'says']
  const say = (nth: number, value: string) =>
    put(
      isBelow
        ? [place, [...sentences.slice(0, nth), value, ...sentences.slice(nth + 1)]]
        : [[...place, nth], value],
    )
  return (
    <>
      {sentences.map((sentence, nth) => (
        <Words
          key={`says ${nth}`}
          label={t(words.sentence, { n: nth + 1 })}
          hint={isBelow ? t(words.fromBlock) : undefined}
          value={sentence}
          onValue={(value) => say(nth, value)}
          takeOut={
            !isBelow && (!isOwn || sentences.length > 1) ? () => put([[...place, nth], null]) : undefined
          }
        />
      ))}
      {sentences.length > 0 && (
        <TextKey says={t(words.add.sentence)} onPress={() => say(sentences.length, STEP_PARTS.says[0])} />
      )}
    </>
  )
}

interface MembersProps {
  document: Document
  step: Part
  text: WriteText
  flow: (part: Part, field: string, label: string, kind: 'list' | 'mapping') => preact.JSX.Element
  put: Put
}

const outOf = (put: Put, { isHere, part }: Member) => (isHere ? () => put([part.at, null]) : undefined)
const nextIn = (document: Document, part: Part, list: string): Path => [
  ...part.at,
  list,
  (nodeAt(document, [...part.at, list])?.toJS(document) as unknown[] | undefined)?.length ?? 0,
]

function Proofs({ document, step, text, put }: MembersProps) {
  const proofs = membersOf(document, step, 'proof', 'name')
  const called = proofs.map(({ name }) => name)
  return (
    <>
      {proofs.map((proof) => {
        const { name, part } = proof
        const missing = PROOF.filter((each) => saidOf(document, part, each) === null)
        return (
          <Group key={name} name={t(words.member.proof, { name })} takeOut={outOf(put, proof)}>
            {PROOF.map((each) => text(part, each, t(words.ofMember[each]), each !== 'label'))}
            {saidOf(document, part, 'kind')?.words === 'choice' && (
              <Options document={document} proof={part} text={text} put={put} />
            )}
            <Adding
              label={t(words.add.toProof)}
              options={missing.map((value) => ({ value, words: t(words.ofMember[value]) }))}
              add={(field) => put(...saying(part, field, field === 'hint' ? t(words.howStarter) : '1'))}
            />
          </Group>
        )
      })}
      <Adding
        label={t(words.add.proof)}
        options={KINDS.map((value) => ({ value, words: t(words.kinds[value]) }))}
        add={(kind) => put([nextIn(document, step, 'proof'), proofOf(kind, freshName('proof', called))])}
      />
    </>
  )
}

/** What can be chosen: its words, and whether it proves the step. */
function Options({
  document,
  proof,
  text,
  put,
}: Pick<MembersProps, 'document' | 'text' | 'put'> & { proof: Part }) {
  const options = membersOf(document, proof, 'options', 'id')
  const fresh = freshName(
    'option',
    options.map(({ name }) => name),
  )
  return (
    <>
      {options.map((option) => {
        const { name, part } = option
        const isProof = saidOf(document, part, 'ok') === null
        return (
          <Group
            key={name}
            name={t(words.member.options, { name })}
            takeOut={options.length > 2 ? outOf(put, option) : undefined}
          >
            {OPTION.map((each) => text(part, each, t(words.ofMember[each]), each !== 'says'))}
            {isProof && (
              <TextKey says={t(words.add.notOk)} onPress={() => put(...saying(part, 'ok', 'no'))} />
            )}
            <IsFinding document={document} part={part} put={put} />
          </Group>
        )
      })}
      <TextKey
        says={t(words.add.option)}
        onPress={() => put(...proof.named, [nextIn(document, proof, 'options'), optionOf(fresh)])}
      />
    </>
  )
}

/** An answer or a failure that somebody has to follow up. */
const IsFinding = ({ document, part, put }: Pick<MembersProps, 'document' | 'put'> & { part: Part }) =>
  saidOf(document, part, 'finding') === null ? (
    <TextKey says={t(words.add.finding)} onPress={() => put(...saying(part, 'finding', 'yes'))} />
  ) : null

function Failures({ document, step, text, flow, put }: MembersProps) {
  const failures = membersOf(document, step, 'fails', 'id')
  const called = failures.map(({ name }) => name)
  return (
    <>
      {failures.map((failure) => {
        const { name, part } = failure
        return (
          <Group key={name} name={t(words.member.fails, { name })} takeOut={outOf(put, failure)}>
            {FAILURE.map((each) => text(part, each, t(words.ofMember[each]), each === 'finding'))}
            {flow(part, 'leaves', t(words.ofMember.leaves), 'mapping')}
            {nodeAt(document, [...part.at, 'leaves']) === null && (
              <TextKey says={t(words.add.leaves)} onPress={() => put(...saying(part, 'leaves', {}))} />
            )}
            <IsFinding document={document} part={part} put={put} />
          </Group>
        )
      })}
      <TextKey
        says={t(words.add.failure)}
        onPress={() => put([nextIn(document, step, 'fails'), failureOf(freshName('failed', called))])}
      />
    </>
  )
}

function Group({
  name,
  takeOut,
  children,
}: {
  name: string
  /** Absent where it must stay, or is a block's. */
  takeOut: (() => void) | undefined
  children: preact.ComponentChildren
}) {
  return (
    <fieldset>
      <legend>{name}</legend>
      {children}
      {takeOut && <TakeOut what={name} onPress={takeOut} />}
    </fieldset>
  )
}

interface FlowProps {
  document: Document
  part: Part
  field: string
  label: string
  kind: 'list' | 'mapping'
  put: Put
}

/** A list or mapping of short words, in one field. */
function Flow({ document, part, field, label, kind, put }: FlowProps) {
  const path = [...part.at, field]
  const said = nodeAt(document, path)?.toJS(document) as unknown
  const below = kind === 'list' ? listOf(document, part, field).words : []
  if (said === undefined && below.length === 0) return null
  return (
    <Words
      label={label}
      hint={said === undefined ? t(words.listFromBlock) : t(words.asTyped[kind])}
      value={asFlow(said ?? below)}
      onValue={(typed) => {
        const value = fromFlow(typed, kind)
        if (value !== null) put(...saying(part, field, value))
      }}
      takeOut={said === undefined ? undefined : () => put([path, null])}
    />
  )
}
