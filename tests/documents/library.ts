/** A small site that is right: the one that most tests of documents look at. */
export const libraryText = `/// Two-wire link between outdoor units, indoor units and zone controllers.
bustype EquipmentLink {
  conductors 2 polarised
  shape chain
  drops 64
  length total 1000 m
  length farthest 700 m
  length stub 2 m
  address 1 .. 64
  controllers 4
  cable 0.75 mm2 .. 1.5 mm2 screened twisted
  terminate both-ends 120 ohm
  signal rs485 { rate 9600 baud  unit-loads 32 }
  scan within 20 s
}

/// Two-wire link that also powers wall controllers.
bustype RoomLink {
  conductors 2 polarised
  shape chain
  drops 4
  length total 200 m
  power 15 VDC minimum 11 VDC
  cable 0.75 mm2 .. 1.5 mm2
}

cable Screened-0v75 "2-core screened 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
  colours BK, WH
  screened twisted
  impedance 120 ohm
  velocity 66 %
  rated 300 V
  reel 100 m
}

cable Plain-0v75 "2-core 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
  colours GY, PK
  rated 300 V
  reel 100 m
}

cable TwoCore-1v5 "2-core 1.5 mm2" {
  cores 2 x 1.5 mm2 class 5
  colours RD, BK
  rated 500 V
  reel 50 m
}

equipment CassetteUnit "Four-way cassette 3.6 kW" {
  role indoor-unit
  inlet mains 230 VAC 0.35 A tolerance 10 % terminals L, N, PE
  port field : EquipmentLink terminals CA, CB as responder { unit-load 1  poll 8 bytes reply 26 bytes }
  port room : RoomLink terminals KA, KB as responder { gives 15 VDC up to 240 mA }
  caution "Mains terminals are in the same box as the link terminals."
}

equipment RoomController "Wall controller" {
  role room-controller
  port link : RoomLink terminals KA, KB as controller { takes 22 mA }
  supervises indoor-unit via link up to 4
}

equipment ZoneController "Touch panel" {
  role zone-controller
  inlet supply 24 VAC 12 VA tolerance 10 % dedicated exposed terminals V0, V1
  port field : EquipmentLink terminals CA, CB as controller { unit-load 1 }
  supervises indoor-unit via field up to 32
}

equipment OutdoorUnit28 "Outdoor unit 28 kW" {
  role outdoor-unit
  inlet mains 400 VAC three-phase 18 A terminals L1, L2, L3, N, PE
  port field : EquipmentLink terminals CA, CB as controller { unit-load 1  bias 560 ohm 5 VDC }
}

equipment SupplyBox "24 V supply" {
  role supply
  inlet primary 230 VAC 0.5 A terminals L, N, PE
  outlet out 24 VAC 100 VA class-2 selv terminals V0, V1
}

site Millrace "Millrace Community Library" {
  drawing "ML-C-100" revision "B"
  owner "Millrace Council"
  limit voltage-drop 5 %
  conductor-temperature 40 C
}

area Roof level 9.6 m {
  room Plant at 3 m, 2 m
}

area Level1 level 4.8 m {
  room Reading at 4 m, 3 m
  room Studio at 16 m, 3 m
}

board DB-1 in Plant {
  way W3 400 VAC three-phase 32 A curve C "Outdoor unit"
  way W7 230 VAC 6 A curve B "Indoor unit and controls"
}

device OU-1 : OutdoorUnit28 in Plant { address 1  inlet mains from DB-1.W3 }
device FC-1-01 : CassetteUnit in Reading { address 2  inlet mains from DB-1.W7 }
device RC-1-01 : RoomController in Reading
device PS-1 : SupplyBox in Plant { inlet primary from DB-1.W7 }
device ZC-1 : ZoneController in Studio { address 60 }

bus field-1 : EquipmentLink using Screened-0v75 {
  land OU-1.field terminated bonded
  land FC-1-01.field 18 m
  land ZC-1.field terminated
}

bus room-1 : RoomLink using Plain-0v75 {
  land FC-1-01.room
  land RC-1-01.link 6 m
}

feed F-1 from PS-1.out using TwoCore-1v5 {
  land ZC-1.supply 14 m covered
}
`;
