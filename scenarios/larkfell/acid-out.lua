-- Claim: the stocks of the cold side cover a day and a half at a third of the pickling
-- speed; coils pickled outside come back when the acid is long there again, and cost
-- more than they save.

scenario "No fresh acid, Monday morning" {
  works = "larkfell", from = "2031-11-10 06:00", length = "14 d",
  demand = "sold out", background = false,
}

upset "acid out" {
  unit = "pickle line", at = "2031-11-10 09:00", slow = "35 %",
  lasts = lognormal { median = "30 h", one_in_ten = "72 h" },
  told = { after = "1 h", low = "16 h", likely = "30 h", bad = "72 h", next_word = "6 h" },
}

plan "carry on" {}

plan "pickle outside" (function (works)
  works:await_stop("pickle line")
  works:pickle_line():send_outside()
  works:await_restart("pickle line")
  works:await(function () return works:store("pickled coils").level > tonnes(1500) end)
  works:pickle_line():keep_inside()
end)

plan "overtime when the acid is back" (function (works)
  works:await_restart("pickle line")
  works:overtime():begin()
  works:await(function () return works:store("pickled coils").level > tonnes(1500) end)
  works:overtime():finish()
end)
