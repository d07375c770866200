-- want: bad_expect.lua:3: best: there is no plan "cary on"; did you mean "carry on"?
scenario "bad" { works = "larkfell", from = "2031-11-07 06:00", length = "2 d",
  expect = { best = "cary on" },
}
plan "carry on" {}
