'use client'
import { useEffect, useId, useRef } from 'react'
import type { Instant } from '../../../server/domain/time.ts'
import type { PlanBrief } from '../../../server/protocol/board.ts'
import { dateOfField } from '../../live/clock.ts'
import css from './callerForm.module.css'
import { NoticeField } from './noticeField.tsx'
import type { Problems, Said } from './said.ts'
import { type Field, optionsOf, sayingOf } from './sayings.ts'

type Props = {
  said: Said
  now: Instant
  plan: PlanBrief
  precinct: string
  problems: Problems
  onChange(said: Said): void
  onRemove(): void
}

/** One thing that was said, with its fields; each problem stands beside its field. */
export function SaidBox({ said, now, plan, precinct, problems, onChange, onRemove }: Props) {
  const id = useId()
  const saying = sayingOf(said.kind)
  const box = useRef<HTMLFieldSetElement>(null)
  // A saying that was just chosen is what the person goes on with.
  useEffect(() => box.current?.querySelector<HTMLElement>('[data-field]')?.focus(), [])
  const set = (name: string, value: string | readonly string[]) =>
    onChange({ ...said, values: { ...said.values, [name]: value } })
  const text = (name: string) => {
    const value = said.values[name]
    return typeof value === 'string' ? value : ''
  }
  const date = dateOfField(said.at, plan.date, plan.timeZone, now)
  return (
    <fieldset ref={box} className={css.said}>
      <legend>{saying.label}</legend>
      <div className={css.fields}>
        {saying.fields.map(field => {
          const problem = problems[`${said.id}.${field.name}`]
          const problemId = `${id}${field.name}`
          const marks = {
            'aria-invalid': problem ? true : undefined,
            'aria-describedby': problem ? problemId : undefined,
          } as const
          return (
            <div key={field.name} className={wide(field) ? css.wide : undefined}>
              {control(field, marks)}
              {problem && (
                <em id={problemId} className="wrong">
                  {problem}
                </em>
              )}
            </div>
          )
        })}
        <label>
          <span>At another time</span>
          <input
            value={said.at}
            placeholder="HH:MM"
            inputMode="numeric"
            maxLength={5}
            aria-invalid={problems[`${said.id}.at`] ? true : undefined}
            aria-describedby={problems[`${said.id}.at`] || date ? `${id}-at` : undefined}
            onChange={e => onChange({ ...said, at: e.target.value })}
          />
          {problems[`${said.id}.at`] && (
            <em id={`${id}-at`} className="wrong">
              {problems[`${said.id}.at`]}
            </em>
          )}
          {!problems[`${said.id}.at`] && date && <em id={`${id}-at`}>on {date}</em>}
        </label>
      </div>
      {problems[said.id] && <p className="wrong">{problems[said.id]}</p>}
      <button type="button" className={`button quiet ${css.remove}`} onClick={onRemove}>
        Take out<span className="vh"> {saying.label}</span>
      </button>
    </fieldset>
  )

  function control(
    field: Field,
    marks: { 'aria-invalid': true | undefined; 'aria-describedby': string | undefined },
  ) {
    const label = `${field.label}${field.optional && field.as !== 'yes' ? ' (if said)' : ''}`
    switch (field.as) {
      case 'yes':
        return (
          <label className={css.tick}>
            <input
              type="checkbox"
              data-field
              checked={text(field.name) === 'yes'}
              onChange={e => set(field.name, e.target.checked ? 'yes' : '')}
              {...marks}
            />
            {label}
          </label>
        )
      case 'choice': {
        const options = optionsOf(field.options, plan, precinct)
        const only = options.length === 1
        return (
          <label>
            <span>{label}</span>
            <select
              data-field
              value={text(field.name) || (only ? options[0]!.value : '')}
              onChange={e => set(field.name, e.target.value)}
              {...marks}
            >
              {!only && <option value="">choose…</option>}
              {options.map(o => (
                <option key={o.value} value={o.value}>
                  {o.label}
                </option>
              ))}
            </select>
          </label>
        )
      }
      case 'checks': {
        const chosen = said.values[field.name]
        const values = Array.isArray(chosen) ? (chosen as readonly string[]) : []
        return (
          <fieldset className={css.checks}>
            <legend>{label}</legend>
            {optionsOf(field.options, plan, precinct).map((o, i) => (
              <label key={o.value} className={css.tick}>
                <input
                  type="checkbox"
                  data-field
                  checked={values.includes(o.value)}
                  onChange={e =>
                    set(
                      field.name,
                      e.target.checked ? [...values, o.value] : values.filter(v => v !== o.value),
                    )
                  }
                  {...(i === 0 ? marks : {})}
                />
                {o.label}
              </label>
            ))}
          </fieldset>
        )
      }
      case 'notice':
        return (
          <NoticeField
            label={label}
            precinct={precinct}
            value={text(field.name)}
            onChange={value => set(field.name, value)}
            marks={marks}
          />
        )
      case 'per-tabulator':
        return (plan.tabulators[precinct] ?? []).map((t, i) => (
          <label key={t.tag}>
            <span>
              {field.label}, {t.label || t.tag} (if said)
            </span>
            <input
              data-field
              inputMode="numeric"
              value={text(`${field.name}.${t.tag}`)}
              onChange={e => set(`${field.name}.${t.tag}`, e.target.value)}
              {...(i === 0 ? marks : {})}
            />
          </label>
        ))
      default:
        return (
          <label>
            <span>{label}</span>
            <input
              data-field
              inputMode={field.as === 'number' ? 'numeric' : undefined}
              placeholder={field.hint}
              value={text(field.name)}
              onChange={e => set(field.name, e.target.value)}
              {...marks}
            />
          </label>
        )
    }
  }
}

const wide = (field: Field) => ['text', 'list', 'checks', 'missing', 'per-tabulator'].includes(field.as)
