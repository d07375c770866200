-- want: dead_branch.lua:4: 'if false' or 'if nil' inside a for loop would be run wrongly
-- hint: to switch lines off put -- before each of them, or --[[ and ]] around them
for _, c in ipairs({ "C1", "C2" }) do
  if false then
    local x = c
    print(x)
  end
end
