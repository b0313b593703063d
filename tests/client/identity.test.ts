import { describe, expect, test } from 'vitest'
import { checkCharacter, checkVin } from '@client/trade/identity'
import vectors from '../vectors/vin.json'

describe('a vehicle number', () => {
  test.each(vectors.cases)('$text: $code', ({ text, ...expected }) => {
    expect(checkVin(text)).toMatchObject(expected)
  })

  test.each(vectors.second_look)('$about', ({ text, right, ...slip }) => {
    const whole = (vin: string) => vin.slice(0, 8) + checkCharacter(vin) + vin.slice(9)
    expect(checkVin(whole(right)).code).toBe('vin-holds')
    const read = checkVin(whole(text))
    expect(read.code).toBe('vin-holds')
    expect(read.again).toContainEqual({ position: slip.position, read: slip.read, perhaps: slip.perhaps })
  })
})
