upset "x" {
  unit = "y",
  lasts = fixed(lognormal { median = "3 h" }),
}
upset "z" { unit = lognormal }
upset "v" { unit = "y", lasts = fixed() }
-- problems
-- 3: lasts: fixed of lognormal means nothing; write one of the two
-- 5: unit: a function is not a text; write it in quotation marks
-- 6: fixed needs a value, such as fixed { ... }
