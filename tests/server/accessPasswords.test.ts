import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PASSWORD_LENGTH, passwordProblem } from '../../server/access/passwordRules.ts'

const rosa = {
  name: 'Rosa Lindqvist-Okafor',
  email: 'rosa.l@elections.ellery.example',
  counties: ['Ellery County'],
}
const problem = (password: string) => passwordProblem(password, rosa)

/** After NIST SP 800-63B revision 4 (2025), 3.1.1.2, from memory: see server/access/passwordRules.ts. */
describe('a password', () => {
  it.each([
    'seven herons over the marsh',
    'correct bluebells over Ellery County',
    'Rosa walks to the ferry at nine',
    'x7!k Q2_z(9)p=w.m',
    '                d',
    '蘭の花が咲く海辺の町で朝を待つ人',
    '🌅🌊🦆🐚🚲🌾⛵🍎🌙🎣🪁🥖🧭🏡🔔',
    'no-digits-no-capitals-at-all',
    'kelp '.repeat(3).concat('and then nothing more of it'),
  ])('is taken: %s', password => {
    expect(problem(password)).toBeNull()
  })

  it.each([
    ['fourteen chars', 'at least 15'],
    ['', 'this one has 0'],
    ['🌅🌊🦆🐚🚲🌾⛵🍎🌙🎣🪁🥖🧭🏡', 'this one has 14'],
    ['a line\nbreak in the middle', 'can’t be seen'],
    ['aaaaaaaaaaaaaaaaaaaa', 'repeats itself'],
    ['kelp-kelp-kelp-kelp-', 'repeats itself'],
    ['ferry at nine ferry at nine', 'repeats itself'],
    ['abcdefghijklmnopqrst', 'alphabet or the keyboard'],
    ['9876543210987654321', 'alphabet or the keyboard'],
    ['qwertyuiopasdfghjkl', 'alphabet or the keyboard'],
    ['1qaz2wsx3edc4rfv5tgb', 'alphabet or the keyboard'],
    ['qwerty-123456-zxcvbn', 'alphabet or the keyboard'],
    ['Correct Horse Battery Staple', 'many people use'],
    ['correcthorsebatterystaple2026!', 'many people use'],
    ['administrator123', 'many people use'],
    ['ElleryCounty2026!', 'your county'],
    ['Ellery County Elections 1', 'your county'],
    ['sunup.sunup.Ellery', 'your county'],
    ['rosa lindqvist okafor', 'your name'],
    ['rosa.l@elections.ellery.example', 'your name'],
    ['Lindqvist-2026-xyz', 'your name'],
    ['SunupSupervisorDesk1', 'Sunup'],
  ])('is refused with its reason: %s', (password, words) => {
    expect(problem(password)).toContain(words)
  })

  it('is measured in code points, takes 64 and up to 200, and not 201', () => {
    const long = (length: number) =>
      [...'seven herons over the marsh and '.repeat(9)].slice(0, length - 1).join('')
    expect(problem(`${long(64)}x`)).toBeNull()
    expect(problem(`${long(PASSWORD_LENGTH.most)}x`)).toBeNull()
    expect(problem(`${long(PASSWORD_LENGTH.most + 1)}x`)).toContain('at most 200')
  })

  it('needs no kind of character: any fifteen different letters in no order are taken', () => {
    const letters = fc.shuffledSubarray([...'bdfhjlnprtvxzaceg'], { minLength: 17, maxLength: 17 })
    fc.assert(fc.property(letters, drawn => problem(drawn.join('')) === null))
  })

  it('never throws, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), typed => {
        const answer = problem(typed)
        expect(answer === null || answer.length > 10).toBe(true)
      }),
    )
  })
})
