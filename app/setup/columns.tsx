import css from './setup.module.css'

/** The head of a table: the name of each column; one that begins with `#` holds figures. */
export function Columns({ names }: { names: readonly string[] }) {
  return (
    <thead>
      <tr>
        {names.map(name => (
          <th key={name} scope="col" className={name.startsWith('#') ? css.number : undefined}>
            {name.replace('#', '')}
          </th>
        ))}
      </tr>
    </thead>
  )
}
