-- Claim: a lost slab crane takes a quarter to a third of the furnace feed; taking
-- slabs as they lie saves the lifts of digging and gives part of it back.

scenario "One slab crane out for the day" {
  works = "larkfell", from = "2031-11-05 06:00", length = "7 d",
  demand = "sold out", background = false,
}

upset "slab crane out" {
  at = "2031-11-05 14:00",
  lasts = lognormal { median = "10 h", one_in_ten = "24 h" },
  told = { after = "15 min", low = "4 h", likely = "10 h", bad = "24 h", next_word = "4 h" },
}

plan "carry on" {}

plan "take slabs as they lie" (function (works)
  works:await_stop("slab cranes")
  works:charge("as they lie")
  works:await_restart("slab cranes")
  works:charge("oldest first")
end)
