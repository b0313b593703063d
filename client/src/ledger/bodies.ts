/**
 * What each kind of entry says.
 * Written by `python -m twoturns.ledger.types`: change bodies.py, not this.
 */
import type { Form, ObjectForm } from './body-form'

/** A private value: the SHA-256 of its blob. */
export interface Ref {
  blob: string
}

/** A vehicle came in and a bundle was chosen. */
export interface JobOpened {
  bundle: string
  vin: Ref
  plate: Ref
  odometer_km: number
  engine_code: string
  bay: string
  customer?: Ref
}

/** The kind says it all. */
export type Nothing = Record<string, never>

/** A tool went into the engine bay, or came back. */
export interface ToolMoved {
  tool: string
  id?: string
}

/** A tool will not come back. */
export interface ToolLost {
  tool: string
  because: Ref
}

/** A part went in, from which lot. `code` is what the camera read; typed lots have none. */
export interface PartFitted {
  step: string
  name: string
  part: string
  lot: string
  serial?: string
  code?: string
}

/** A step was begun. */
export interface StepNamed {
  step: string
}

/** A house rule that asks was passed: why, and a photo. */
export interface Passed {
  rule: string
  because: Ref
  photo: string
}

/** A step was done, and what proves it. */
export interface StepDone {
  step: string
  proof: string[]
  passed?: Passed[]
}

/** A step failed in one of the ways its bundle knows. */
export interface StepFailed {
  step: string
  failure: string
  proof: string[]
  words?: Ref
}

/** A step is to be done again. */
export interface StepReopened {
  step: string
  because: Ref
}

/** Someone looked how a condition is. */
export interface ConditionSeen {
  condition: string
  value: string
}

/** What sat between wrench and fastener: the wrench was set to the corrected value. */
export interface Adaptor {
  wrench_mm: number
  adaptor_mm: number
  angle_deg: number
}

/** Something that an instrument saw or heard, kept so that its value can be computed anew. */
export interface Saw {
  blob: string
  size: number
  type: 'application/json' | 'audio/wav'
}

/** A value was read, the limits it was read against, and with what. `by` is the phone's instrument; without it the value was read by eye. */
export interface ReadingTaken {
  step: string
  name: string
  value: string
  unit: string
  low?: string
  high?: string
  tool?: string
  photo?: string
  adaptor?: Adaptor
  by?: 'pluck' | 'marks' | 'turn' | 'scan'
  saw?: Saw[]
}

/** A reading was written down wrong. */
export interface ReadingCorrected {
  of: string
  value: string
  because: Ref
}

/** How sharp and how bright a photo is: `instruments/sharpness` says how it is measured. */
export interface Quality {
  sharp_tenths: number
  mean: number
  blown_permille: number
}

/** A photo: its bytes are a blob. Width and height are 0, and there is no quality, when the phone cannot tell. */
export interface PhotoTaken {
  step: string
  name: string
  blob: string
  size: number
  type: 'image/jpeg' | 'image/png' | 'image/webp' | 'image/heic'
  width: number
  height: number
  how: 'live' | 'picked'
  quality?: Quality
}

/** Words, about a step or the job. */
export interface NoteAdded {
  step?: string
  name?: string
  text: Ref
  photo?: string
}

/** The owner's question on a step. */
export interface ReviewReturned {
  step: string
  question: Ref
}

/** The answer to a question. */
export interface ReviewAnswered {
  question: string
  words?: Ref
  photo?: string
}

/** The owner accepts that a step was not proved. */
export interface ReviewGap {
  step: string
  because: Ref
  question?: string
}

/** The owner takes over that parts of a recalled lot stay in this engine. */
export interface RecallBorne {
  recall: string
  parts: string[]
  because: Ref
}

/** The job came to one of its ends. */
export interface JobClosed {
  end: string
  because?: Ref
}

/** The key that hands over, and its signature over the succession message. */
export interface SignedBy {
  key: string
  signature: string
}

/** The recovery key, its signature, and the records that it trusts: how many, their root. */
export interface Recovered {
  key: string
  signature: string
  size: number
  root: string
}

/** A workshop key. The first stands for itself; a later one is handed over to, or recovered. `recovery` is the thumbprint of a recovery key: of the first one, or of a recovery's next. */
export interface WorkshopKeyed {
  key: string
  name: string
  signed_by?: SignedBy
  edition?: number
  recovery?: string
  recovered?: Recovered
}

/** What an auditor may see, where it is not all: these jobs, those that came in from one day to another, private values of these fields; until an end. */
export interface Scope {
  jobs?: string[]
  days?: string[]
  values?: string[]
  end?: string
}

/** Whoever holds the invitation's key may enrol one device. */
export interface DeviceInvited {
  key: string
  role: 'owner' | 'mechanic' | 'auditor'
  person: string
  until: string
  scope?: Scope
}

/** A device came in on an invitation. */
export interface DeviceEnrolled {
  key: string
  invitation: string
  countersign: string
}

/** What a device writes from here on is doubted. */
export interface DeviceRevoked {
  device: string
  because: string
}

/** A person's name. */
export interface PersonNamed {
  person: string
  name: Ref
}

/** A bundle may be worked by. */
export interface BundlePublished {
  bundle: string
  name: string
  edition: number
  engine_codes: string[]
}

/** A bundle must not be worked by any more. */
export interface BundleWithdrawn {
  bundle: string
  because: string
}

/** A measuring tool of the workshop, and its range. */
export interface ToolRegistered {
  tool: string
  type: string
  label: string
  low?: string
  high?: string
  unit?: string
}

/** A tool was calibrated. */
export interface ToolCalibrated {
  tool: string
  on: string
  due: string
  certificate?: string
}

/** A lot of parts must not be fitted any more. */
export interface LotRecalled {
  lot: string
  because: string
}

/** Entries that were marked count as good again. */
export interface WorkAccepted {
  entries: string[]
  because: string
}

/** Entries of a revoked device that were held back stay so: nobody is given them. */
export interface WorkRefused {
  entries: string[]
  because: string
}

/** Nothing more is taken from a device, not even to be held back. */
export interface DeviceShut {
  device: string
  because: string
}

/** For whom a device speaks besides the person of its invitation, from here on. */
export interface DeviceServes {
  device: string
  persons: string[]
}

/** A blob and its size in bytes. */
export interface KeptBlob {
  blob: string
  size: number
}

/** Blobs are whole on the workshop's disk. */
export interface BlobKept {
  blobs: KeptBlob[]
}

/** A blob's bytes are gone, why and on what basis. */
export interface BlobErased {
  blob: string
  reason: string
  basis: string
}

/** A backup covers the first `size` records. */
export interface BackupMade {
  size: number
}

/** The owner states that another backup covers the first `size` records. */
export interface BackupOutside {
  size: number
  until: string
}

/** How many days jobs are kept. */
export interface RetentionSet {
  days: number
}

/** From its place in the ledger on, the rules of an edition hold; never backwards. */
export interface RulesBegan {
  edition: number
}

/** These blobs are to be erased, why and on what basis. All of one person's or one job's stand in one order: it is carried out whole. */
export interface ErasureOrdered {
  blobs: string[]
  reason: string
  basis: string
}

/** An order, or a rule that has not begun, does not stand. */
export interface ErasureWithdrawn {
  order: string
  because: string
}

/** An order need not wait: said by a second owner, or by the console. */
export interface ErasureHastened {
  order: string
  because: string
}

/** How long an order waits, and how many blobs a day erases. Holds after the delay of before. */
export interface ErasureRuled {
  delay_days: number
  blobs_a_day: number
}

/** The thumbprint of a recovery key; one that follows another is signed by that one. */
export interface RecoveryCommitted {
  recovery: string
  signed_by?: SignedBy
}

export interface Bodies {
  'job.opened': JobOpened
  'job.taken': Nothing
  'tool.out': ToolMoved
  'tool.in': ToolMoved
  'tool.lost': ToolLost
  'part.fitted': PartFitted
  'step.begun': StepNamed
  'step.done': StepDone
  'step.failed': StepFailed
  'step.reopened': StepReopened
  'condition.seen': ConditionSeen
  'reading.taken': ReadingTaken
  'reading.corrected': ReadingCorrected
  'photo.taken': PhotoTaken
  'note.added': NoteAdded
  'review.returned': ReviewReturned
  'review.answered': ReviewAnswered
  'review.gap': ReviewGap
  'review.approved': Nothing
  'recall.borne': RecallBorne
  'job.closed': JobClosed
  'workshop.keyed': WorkshopKeyed
  'device.invited': DeviceInvited
  'device.enrolled': DeviceEnrolled
  'device.revoked': DeviceRevoked
  'person.named': PersonNamed
  'bundle.published': BundlePublished
  'bundle.withdrawn': BundleWithdrawn
  'tool.registered': ToolRegistered
  'tool.calibrated': ToolCalibrated
  'lot.recalled': LotRecalled
  'work.accepted': WorkAccepted
  'work.refused': WorkRefused
  'device.shut': DeviceShut
  'device.serves': DeviceServes
  'blob.kept': BlobKept
  'blob.erased': BlobErased
  'backup.made': BackupMade
  'backup.outside': BackupOutside
  'retention.set': RetentionSet
  'rules.began': RulesBegan
  'erasure.ordered': ErasureOrdered
  'erasure.withdrawn': ErasureWithdrawn
  'erasure.hastened': ErasureHastened
  'erasure.ruled': ErasureRuled
  'recovery.committed': RecoveryCommitted
}

export type Kind = keyof Bodies
export type Body<K extends Kind> = Bodies[K]
export type Role = 'owner' | 'mechanic' | 'auditor'

/** The newest edition of kinds and fields that this program knows. */
export const EDITION = 2

export const jobKinds = [
  'job.opened',
  'job.taken',
  'tool.out',
  'tool.in',
  'tool.lost',
  'part.fitted',
  'step.begun',
  'step.done',
  'step.failed',
  'step.reopened',
  'condition.seen',
  'reading.taken',
  'reading.corrected',
  'photo.taken',
  'note.added',
  'review.returned',
  'review.answered',
  'review.gap',
  'review.approved',
  'recall.borne',
  'job.closed',
] as const

export type JobKind = (typeof jobKinds)[number]

const form1: Form = {"pattern":"[0-9a-f]{64}","expected":"a SHA-256 in 64 lower-case hex digits"}
const form2: Form = {"object":{"members":{"blob":form1},"optional":[]}}
const form3: Form = {"from":0,"expected":"a whole number from 0 up"}
const form4: Form = {"text":[1,64],"expected":"text of 1 to 64 characters"}
const form5: Form = {"pattern":"[a-z][a-z0-9_]{0,63}","expected":"a name, [a-z][a-z0-9_]* of at most 64 characters"}
const form6: Form = {"text":[1,500],"expected":"text of 1 to 500 characters"}
const form7: Form = {"pattern":"[0-9a-f]{64}","expected":"an entry's id, 64 lower-case hex digits"}
const form8: Form = {"list":form7,"length":[0,100],"expected":"a list of 0 to 100"}
const form9: Form = {"object":{"members":{"rule":form5,"because":form2,"photo":form7},"optional":[]}}
const form10: Form = {"list":form9,"length":[1,20],"expected":"a list of 1 to 20"}
const form11: Form = {"text":[0,16],"expected":"text of 0 to 16 characters"}
const form12: Form = {"pattern":"-?(0|[1-9][0-9]*)(\\.[0-9]+)?","expected":"a decimal in a string, as \"26.50\""}
const form13: Form = {"from":1,"expected":"a whole number from 1 up"}
const form14: Form = {"object":{"members":{"wrench_mm":form13,"adaptor_mm":form13,"angle_deg":form3},"optional":[]}}
const form15: Form = {"choices":["pluck","marks","turn","scan"],"expected":"one of pluck, marks, turn, scan"}
const form16: Form = {"choices":["application/json","audio/wav"],"expected":"one of application/json, audio/wav"}
const form17: Form = {"object":{"members":{"blob":form1,"size":form13,"type":form16},"optional":[]}}
const form18: Form = {"list":form17,"length":[1,6],"expected":"a list of 1 to 6"}
const form19: Form = {"choices":["image/jpeg","image/png","image/webp","image/heic"],"expected":"one of image/jpeg, image/png, image/webp, image/heic"}
const form20: Form = {"choices":["live","picked"],"expected":"one of live, picked"}
const form21: Form = {"object":{"members":{"sharp_tenths":form3,"mean":form3,"blown_permille":form3},"optional":[]}}
const form22: Form = {"list":form7,"length":[1,900],"expected":"a list of 1 to 900"}
const form23: Form = {"pattern":"[A-Za-z0-9_-]{43}","expected":"a key, 43 characters of base64url"}
const form24: Form = {"text":[1,200],"expected":"text of 1 to 200 characters"}
const form25: Form = {"pattern":"[A-Za-z0-9_-]{86}","expected":"a signature, 86 characters of base64url"}
const form26: Form = {"object":{"members":{"key":form23,"signature":form25},"optional":[]}}
const form27: Form = {"pattern":"[A-Za-z0-9_-]{43}","expected":"a thumbprint, 43 characters of base64url"}
const form28: Form = {"object":{"members":{"key":form23,"signature":form25,"size":form13,"root":form1},"optional":[]}}
const form29: Form = {"choices":["owner","mechanic","auditor"],"expected":"one of owner, mechanic, auditor"}
const form30: Form = {"pattern":"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}","expected":"a UUID of version 7 in lower case"}
const form31: Form = {"pattern":"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\\.[0-9]{3}Z","expected":"a time, YYYY-MM-DDTHH:MM:SS.mmmZ"}
const form32: Form = {"list":form30,"length":[1,500],"expected":"a list of 1 to 500"}
const form33: Form = {"pattern":"[0-9]{4}-[0-9]{2}-[0-9]{2}","expected":"a day, YYYY-MM-DD"}
const form34: Form = {"list":form33,"length":[2,2],"expected":"a list of 2 to 2"}
const form35: Form = {"list":form5,"length":[0,20],"expected":"a list of 0 to 20"}
const form36: Form = {"object":{"members":{"jobs":form32,"days":form34,"values":form35,"end":form31},"optional":["jobs","days","values","end"]}}
const form37: Form = {"list":form4,"length":[0,200],"expected":"a list of 0 to 200"}
const form38: Form = {"text":[1,16],"expected":"text of 1 to 16 characters"}
const form39: Form = {"list":form30,"length":[0,50],"expected":"a list of 0 to 50"}
const form40: Form = {"object":{"members":{"blob":form1,"size":form3},"optional":[]}}
const form41: Form = {"list":form40,"length":[1,500],"expected":"a list of 1 to 500"}
const form42: Form = {"from":2,"expected":"a whole number from 2 up"}
const form43: Form = {"list":form1,"length":[1,800],"expected":"a list of 1 to 800"}

/** The checks, as data: `checkBody` in forms.ts runs them. */
export const bodyForms: Record<Kind, ObjectForm> = {
  'job.opened': {"members":{"bundle":form1,"vin":form2,"plate":form2,"odometer_km":form3,"engine_code":form4,"bay":form4,"customer":form2},"optional":["customer"]},
  'job.taken': {"members":{},"optional":[]},
  'tool.out': {"members":{"tool":form5,"id":form4},"optional":["id"]},
  'tool.in': {"members":{"tool":form5,"id":form4},"optional":["id"]},
  'tool.lost': {"members":{"tool":form5,"because":form2},"optional":[]},
  'part.fitted': {"members":{"step":form5,"name":form5,"part":form4,"lot":form4,"serial":form4,"code":form6},"optional":["serial","code"]},
  'step.begun': {"members":{"step":form5},"optional":[]},
  'step.done': {"members":{"step":form5,"proof":form8,"passed":form10},"optional":["passed"]},
  'step.failed': {"members":{"step":form5,"failure":form5,"proof":form8,"words":form2},"optional":["words"]},
  'step.reopened': {"members":{"step":form5,"because":form2},"optional":[]},
  'condition.seen': {"members":{"condition":form5,"value":form4},"optional":[]},
  'reading.taken': {"members":{"step":form5,"name":form5,"value":form6,"unit":form11,"low":form12,"high":form12,"tool":form4,"photo":form7,"adaptor":form14,"by":form15,"saw":form18},"optional":["low","high","tool","photo","adaptor","by","saw"]},
  'reading.corrected': {"members":{"of":form7,"value":form6,"because":form2},"optional":[]},
  'photo.taken': {"members":{"step":form5,"name":form5,"blob":form1,"size":form13,"type":form19,"width":form3,"height":form3,"how":form20,"quality":form21},"optional":["quality"]},
  'note.added': {"members":{"step":form5,"name":form5,"text":form2,"photo":form7},"optional":["step","name","photo"]},
  'review.returned': {"members":{"step":form5,"question":form2},"optional":[]},
  'review.answered': {"members":{"question":form7,"words":form2,"photo":form7},"optional":["words","photo"],"any_of":["words","photo"]},
  'review.gap': {"members":{"step":form5,"because":form2,"question":form7},"optional":["question"]},
  'review.approved': {"members":{},"optional":[]},
  'recall.borne': {"members":{"recall":form7,"parts":form22,"because":form2},"optional":[]},
  'job.closed': {"members":{"end":form5,"because":form2},"optional":["because"]},
  'workshop.keyed': {"members":{"key":form23,"name":form24,"signed_by":form26,"edition":form13,"recovery":form27,"recovered":form28},"optional":["signed_by","edition","recovery","recovered"]},
  'device.invited': {"members":{"key":form23,"role":form29,"person":form30,"until":form31,"scope":form36},"optional":["scope"]},
  'device.enrolled': {"members":{"key":form23,"invitation":form7,"countersign":form25},"optional":[]},
  'device.revoked': {"members":{"device":form27,"because":form6},"optional":[]},
  'person.named': {"members":{"person":form30,"name":form2},"optional":[]},
  'bundle.published': {"members":{"bundle":form1,"name":form24,"edition":form13,"engine_codes":form37},"optional":[]},
  'bundle.withdrawn': {"members":{"bundle":form1,"because":form6},"optional":[]},
  'tool.registered': {"members":{"tool":form4,"type":form5,"label":form24,"low":form12,"high":form12,"unit":form38},"optional":["low","high","unit"]},
  'tool.calibrated': {"members":{"tool":form4,"on":form33,"due":form33,"certificate":form24},"optional":["certificate"]},
  'lot.recalled': {"members":{"lot":form4,"because":form6},"optional":[]},
  'work.accepted': {"members":{"entries":form22,"because":form6},"optional":[]},
  'work.refused': {"members":{"entries":form22,"because":form6},"optional":[]},
  'device.shut': {"members":{"device":form27,"because":form6},"optional":[]},
  'device.serves': {"members":{"device":form27,"persons":form39},"optional":[]},
  'blob.kept': {"members":{"blobs":form41},"optional":[]},
  'blob.erased': {"members":{"blob":form1,"reason":form6,"basis":form6},"optional":[]},
  'backup.made': {"members":{"size":form3},"optional":[]},
  'backup.outside': {"members":{"size":form3,"until":form31},"optional":[]},
  'retention.set': {"members":{"days":form13},"optional":[]},
  'rules.began': {"members":{"edition":form42},"optional":[]},
  'erasure.ordered': {"members":{"blobs":form43,"reason":form6,"basis":form6},"optional":[]},
  'erasure.withdrawn': {"members":{"order":form7,"because":form6},"optional":[]},
  'erasure.hastened': {"members":{"order":form7,"because":form6},"optional":[]},
  'erasure.ruled': {"members":{"delay_days":form13,"blobs_a_day":form13},"optional":[]},
  'recovery.committed': {"members":{"recovery":form27,"signed_by":form26},"optional":["signed_by"]},
}
