import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readCell, readCsv, safeCell, toCsv } from '../../src/features/stores/facts/csv.ts'

const BOM = '\uFEFF'
const list = (text: string) => readCsv(text, { columns: ['a', 'b', 'c'], required: ['a', 'b', 'c'] })
const cells = (text: string) => list(text).rows.map(({ cells: { a, b, c } }) => [a, b, c])

describe('RFC 4180, section 2, rules 1 to 5 (read)', () => {
  test('rules 1 and 2: each record on a line that ends in CRLF; the last may go without', () => {
    expect(toCsv(['a', 'b', 'c'], [['1', '2', '3']])).toBe(`${BOM}a,b,c\r\n1,2,3\r\n`)
    expect(cells('a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n')).toEqual([['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx']])
    expect(cells('a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx')).toEqual([['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx']])
  })
  test('rule 4: as many cells throughout, and spaces belong to the cell', () => {
    expect(cells('a,b,c\r\n x , y,z \r\n')).toEqual([[' x ', ' y', 'z ']])
    expect(list('a,b,c\r\n1,2\r\n').faults).toEqual([{ line: 2, message: '2 cells, but the first line names 3 columns' }])
    // The last cell is not followed by a comma: one more is one cell more.
    expect(list('a,b,c\r\n1,2,3,\r\n').faults).toEqual([{ line: 2, message: '4 cells, but the first line names 3 columns' }])
  })
  test('rule 5: cells may stand in quotation marks', () => {
    expect(cells('a,b,c\r\n"aaa","bbb",ccc\r\n')).toEqual([['aaa', 'bbb', 'ccc']])
  })
  test('4\' 5" is written "4\' 5""" (read) and read back', () => {
    const text = toCsv(['a', 'b', 'c'], [[`4' 5"`, 'x', 'y']])
    expect(text).toBe(`${BOM}a,b,c\r\n"4' 5""",x,y\r\n`)
    expect(cells(text)).toEqual([[`4' 5"`, 'x', 'y']])
  })
  test('a comma, a line break and an empty cell come back', () => {
    const rows = [['one, two', 'first line\r\nsecond', ''], ['', 'x\ny', ',']]
    expect(cells(toCsv(['a', 'b', 'c'], rows))).toEqual(rows)
  })
  test('whatever stands in the cells comes back', () => {
    const text = fc.string({ unit: fc.constantFrom('"', ',', ';', '\n', '\r', '\t', ' ', '=', '+', '-', '@', "'", '5', '.', 'a', 'm²', 'é') })
    fc.assert(fc.property(fc.array(fc.tuple(fc.constant('k'), text, text), { minLength: 1, maxLength: 6 }), (rows) => {
      expect(cells(toCsv(['a', 'b', 'c'], rows))).toEqual(rows)
    }), { numRuns: 500 })
  })
})

describe('cells that a spreadsheet would run (spreadsheet injection, from memory)', () => {
  test('what begins with = + - or @ gets an apostrophe, and reads back as it was', () => {
    for (const text of ['=1+1', '+49 123', '-x', '@SUM(A1)', '\t=1', '\r=1', "'=1", "''-2", '-5,5', '- 5', '-1e5', '=HYPERLINK("http://example.org";"x")']) {
      expect(safeCell(text)).toBe(`'${text}`)
      expect(readCell(safeCell(text))).toBe(text)
    }
  })
  test('negative numbers stay numbers', () => {
    for (const text of ['-5', '-0.25', '-1250.5', '12', '']) expect(safeCell(text)).toBe(text)
  })
  test('an apostrophe that stood there by itself stays', () => {
    for (const text of ["'tis", "4' 5", "'", "'5"]) {
      expect(safeCell(text)).toBe(text)
      expect(readCell(text)).toBe(text)
    }
  })
})

describe('a line that can’t be read is named', () => {
  const good = (n: number) => Array.from({ length: n }, (_, at) => `k${at},x,y\r\n`).join('')
  test('a quotation mark that is never closed: the line where its record begins', () => {
    // One line of headings and 35 good ones: the broken one is line 37.
    expect(list(`a,b,c\r\n${good(35)}k,"x,y\r\n${good(5)}`).faults).toEqual([{ line: 37, message: 'a quotation mark is opened here and never closed' }])
  })
  test('a quotation mark inside a cell without', () => {
    expect(list(`a,b,c\r\n${good(35)}k,4' 5",y\r\n`).faults[0]).toMatchObject({ line: 37 })
    expect(list(`a,b,c\r\n${good(35)}k,4' 5",y\r\n`).faults[0]!.message).toContain(`is written "4' 5"""`)
    expect(list(`a,b,c\r\n${good(35)}k,"4' 5"x,y\r\n`).faults[0]).toMatchObject({ line: 37 })
  })
  test('cells with line breaks and empty lines count as the lines that they are', () => {
    // Lines: 1 headings, 2-3 a cell of two lines, 4 empty, 5 empty cells only, 6 a cell too few.
    expect(list('a,b,c\r\n1,"x\r\ny",z\r\n\r\n,,\r\n1,2\r\n').faults).toEqual([{ line: 6, message: '2 cells, but the first line names 3 columns' }])
  })
  test('headings are looked at first', () => {
    expect(list('a,b\r\n1,2\r\n').faults).toEqual([{ line: 1, message: 'the first line names the columns, and “c” is not among them' }])
    expect(list('a,b,c,colour\r\n1,2,3,red\r\n').faults[0]!.message).toContain('there is no column “colour”')
    expect(list('a,b,c,A\r\n1,2,3,4\r\n').faults[0]!.message).toContain('“a” is there twice')
    expect(list('').faults).toEqual([{ line: 1, message: 'the list is empty' }])
  })
  test('semicolons and tabs, as spreadsheets write them, are read too', () => {
    expect(cells('a;b;c\r\n1,5;2;3\r\n')).toEqual([['1,5', '2', '3']])
    expect(cells('a\tb\tc\n1\t2\t3\n')).toEqual([['1', '2', '3']])
    expect(cells(`${BOM}C,a,B\r\n3,1,2\r\n`)).toEqual([['1', '2', '3']])
  })
})
