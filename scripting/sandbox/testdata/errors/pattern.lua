-- want: pattern.lua:2: a '[' without its ']' in pattern
print(("C1"):match("[C"))
