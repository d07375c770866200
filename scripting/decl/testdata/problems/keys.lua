local cyclic = { unit = "x" }
cyclic.back = cyclic
upset "cyclic" (cyclic)
upset "twice" {
  unit = "x",
  length = "3 h",
  unit = "y",
}
upset "holes" { unit = "x", heats = { "a", nil, "c" }, list = { [5] = "3 m" } }
upset "odd key" { unit = "x", [true] = 1 }
upset "late" { unit = "x" }
upset "lists" { unit = "x",
  list = { "3 m",
    "4 h",
    5,
  },
  heats = { a = "b" },
  length = 0/0, count = -3, slabs = -3,
}
-- problems
-- 1: back holds tables inside tables too deeply; does a table contain itself?
-- 1: unknown key 'unit' in back; keys here are pace, for_
-- 1: unknown key 'back' in back; keys here are pace, for_
-- 7: 'unit' is written twice in upset "twice", first on line 5; keep one of them
-- 9: heats has an item numbered 3, which does not follow the one before; write the items one after the other, without numbers and without nil between them
-- 9: list has an item numbered 5, which does not follow the one before; write the items one after the other, without numbers and without nil between them
-- 10: upset "odd key" has a key that is a boolean; keys are words or texts
-- 14: item 2 of list: "4 h" is a length of time; a length is needed here, for example "230 mm"
-- 15: item 3 of list: 5 has no unit; write a length as a text with its unit, such as "230 mm"
-- 17: a: a list has no keys; write the items one after the other, with commas between them
-- 18: length is not a number that can be used; is something divided by zero?
-- 18: slabs: -3 is not a whole number, 0 or more; write for example 3
-- 18: count: -3 is below zero; write a number of pieces, such as 12
