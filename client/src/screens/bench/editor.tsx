/**
 * The editor of a source: CodeMirror, in a shadow root, where its styles are sheets of their own. In the page itself it
 * would write a style element, which the content security policy does not allow.
 */
import { defaultKeymap, history, historyKeymap } from '@codemirror/commands'
import { yaml } from '@codemirror/lang-yaml'
import { HighlightStyle, syntaxHighlighting } from '@codemirror/language'
import { lintGutter, setDiagnostics, type Diagnostic } from '@codemirror/lint'
import { EditorState } from '@codemirror/state'
import { drawSelection, EditorView, highlightActiveLine, keymap, lineNumbers } from '@codemirror/view'
import { tags } from '@lezer/highlight'
import { useEffect, useRef } from 'preact/hooks'
import type { FindingAnswer } from '../../ledger/answers'
import { changeBetween, placeOf } from './source'
import * as words from '../../words/en/bench/editor'
import { t } from '../../words/message'

interface EditorProps {
  text: string
  findings: readonly FindingAnswer[]
  /** The line to show, from 1; another object each time one is chosen. */
  shown: { line: number } | null
  onText: (text: string) => void
  /** Where the cursor is, from 1. */
  onLine: (line: number) => void
}

/** Shape says it: names are heavy, comments lean. No colour is taken from the three jobs that colour has. */
const INKS = HighlightStyle.define([
  { tag: tags.definition(tags.propertyName), fontWeight: '700' },
  { tag: tags.propertyName, fontWeight: '700' },
  { tag: tags.comment, fontStyle: 'italic', color: 'var(--ink2)' },
])

const LOOK = EditorView.theme({
  '&': { height: '100%', fontSize: '17px', color: 'var(--ink)', backgroundColor: 'var(--ground)' },
  '&.cm-focused': { outline: '3px solid var(--act)' },
  '.cm-scroller': { fontFamily: 'ui-monospace, monospace', lineHeight: '1.4' },
  '.cm-content': { caretColor: 'var(--act)' },
  '.cm-cursor': { borderLeftColor: 'var(--act)', borderLeftWidth: '2.4px' },
  '.cm-gutters': { color: 'var(--ink2)', backgroundColor: 'var(--plate)', borderRightColor: 'var(--line)' },
  '.cm-activeLine': { backgroundColor: 'var(--plate)' },
  '&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground': {
    backgroundColor: 'color-mix(in srgb, var(--act) 28%, transparent)',
  },
  '.cm-lintRange-error, .cm-lintRange-warning': {
    backgroundImage: 'none',
    textDecoration: 'underline 2.4px var(--act)',
    textUnderlineOffset: '4px',
  },
  '.cm-tooltip': { color: 'var(--ink)', backgroundColor: 'var(--ground)', border: '2.4px solid var(--ink)' },
  '.cm-diagnostic': {
    fontFamily: 'var(--type, sans-serif)',
    maxWidth: '48ch',
    borderLeftColor: 'var(--act)',
  },
})

const marksOf = (text: string, findings: readonly FindingAnswer[]): Diagnostic[] =>
  findings.flatMap(({ line, column, message, hint, code }) =>
    line === null
      ? []
      : [
          {
            ...placeOf(text, line, column ?? 1),
            severity: 'error',
            message: `${message} ${hint}`,
            source: code,
          },
        ],
  )

export function Editor({ text, findings, shown, onText, onLine }: EditorProps) {
  const host = useRef<HTMLDivElement>(null)
  const view = useRef<EditorView | null>(null)
  const told = useRef({ onText, onLine })
  told.current = { onText, onLine }
  // biome-ignore lint/correctness/useExhaustiveDependencies: made once; what the text becomes is brought into it below
  useEffect(() => {
    const root = host.current!.shadowRoot ?? host.current!.attachShadow({ mode: 'open' })
    const state = EditorState.create({
      doc: text,
      extensions: [
        lineNumbers(),
        history(),
        drawSelection(),
        highlightActiveLine(),
        keymap.of([...defaultKeymap, ...historyKeymap]),
        yaml(),
        syntaxHighlighting(INKS),
        lintGutter(),
        LOOK,
        EditorView.contentAttributes.of({ 'aria-label': t(words.source) }),
        EditorView.updateListener.of((update) => {
          if (update.docChanged) told.current.onText(update.state.doc.toString())
          if (update.selectionSet || update.docChanged)
            told.current.onLine(update.state.doc.lineAt(update.state.selection.main.head).number)
        }),
      ],
    })
    view.current = new EditorView({ state, root, parent: root })
    view.current.scrollDOM.tabIndex = 0 // a keyboard scrolls it, too
    return () => view.current?.destroy()
  }, [])
  useEffect(() => {
    const before = view.current!.state.doc.toString()
    if (before !== text) view.current!.dispatch({ changes: changeBetween(before, text) })
  }, [text])
  useEffect(() => {
    const { state } = view.current!
    view.current!.dispatch(setDiagnostics(state, marksOf(state.doc.toString(), findings)))
  }, [findings])
  useEffect(() => {
    if (!shown) return
    const { doc } = view.current!.state
    const at = doc.line(Math.min(shown.line, doc.lines)).from
    view.current!.dispatch({
      selection: { anchor: at },
      effects: EditorView.scrollIntoView(at, { y: 'center' }),
    })
    view.current!.focus()
  }, [shown])
  return <div class="bench-editor" ref={host} />
}
