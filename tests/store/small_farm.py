"""Two trays as plain files, for the tests of going out and coming in."""

from pathlib import Path

from model.actions import files
from model.store.database import Store
from model.store.layout import FILES

SMALL_FARM = {
    "farm.csv": "name,value\nfarm,Quern Hill\nzone,Europe/London\n",
    "people.csv": "name\nWren\nJory\n",
    "places.csv": "name,kind,walk,slots,low_c,high_c,probe,lamp_hours,lamp_gap_mm,lamp_umol\n"
    "Slats,bench on slats,2,40,12,21,no,,,\n"
    "Mat,heat mat,1,12,24,24,yes,14,75,180.5\n",
    "containers.csv": "name,kind,cells,volume_ml,bottom,source\n"
    '72-cell tray,cell tray,72,43,open,"printed, measured"\n'
    "10 cm pot,pot,15,484.5,solid,\n",
    "varieties.csv": "crop,name\ntomato,Ostrel\nkale,Sedge Blue\n",
    "lots.csv": "crop,variety,lot,packed_year,tested_seeds,tested_up,tested_on,treated,tested_c,source\n"
    "tomato,Ostrel,T1,2024,20,9,2026-02-01,no,20.5,own seed\n"
    "kale,Sedge Blue,K1,,,,,unknown,,\n",
    "entries.csv": "entry,uid,who,entered_at,words,undoes,told_at\n"
    "1,a1,Wren,2026-03-01T07:00:00Z,sowed two,,\n"
    "2,a2,Jory,2026-03-09T06:30:00.250000Z,half up: 1R tomato Ostrel,,2026-03-09T06:10:00Z\n"
    "3,a3,Jory,2026-03-10T06:30:00Z,watered Mat,,\n"
    "4,a4,Jory,2026-03-10T06:31:00Z,took back: watered Mat,3,\n"
    "5,a5,Wren,2026-04-10T06:31:00Z,potted up 1R,,\n"
    '6,a6,Wren,2026-04-11T06:31:00Z,"corrected 2W: sown on 2026-03-01 is 2026-02-27, with a ""quote""",,\n',
    "trays.csv": "tray,entry,number,letter,made_on,container,place,parent\n"
    "1,1,1,R,2026-03-01,72-cell tray,Mat,\n"
    "2,1,2,W,2026-03-01,72-cell tray,Slats,\n"
    "3,5,3,A,2026-04-10,10 cm pot,Slats,1\n",
    "sowings.csv": "sowing,entry,tray,part,crop,variety,lot,cells,seeds_per_cell,sown_on,from_sowing,target\n"
    "1,1,1,1,tomato,Ostrel,T1,72,1,2026-03-01,,1\n"
    "2,1,2,1,kale,Sedge Blue,,72,2,2026-03-01,,\n"
    "3,5,3,1,tomato,Ostrel,T1,15,1,2026-03-01,1,\n",
    "acts.csv": "act,entry,day,kind,tray,sowing,place,count,score,cause,text,of_act,field,old,new,promise\n"
    "1,1,2026-03-01,sown,1,1,,72,,,,,,,,\n"
    "2,1,2026-03-01,sown,2,2,,72,,,,,,,,\n"
    "3,2,2026-03-09,half up,1,1,,60,,,,,,,,\n"
    "4,3,2026-03-10,watered,1,,,,,,,,,,,\n"
    "5,5,2026-04-10,potted up,1,1,Slats,15,,,,,,,,\n"
    "6,5,2026-04-10,looked at,3,,,,,,,,,,,\n"
    "7,5,2026-04-10,lost,1,1,,2,,weak,,,,,,\n"
    "8,5,2026-04-10,root look,1,,,,2,,,,,,,\n"
    "10,6,2026-04-11,note,2,,,,,,pale below,,,,,\n"
    "11,6,2026-04-11,moved,2,,Mat,,,,,,,,,\n"
    "12,6,2026-04-11,round closed,,,,1,,,partial,,,,,\n"
    "13,6,2026-04-11,corrected,1,,,,,,,7,count,2,3,\n"
    "15,6,2026-04-11,corrected,2,2,,,,,,,sown_on,2026-03-01,2026-02-27,\n",
    "packets.csv": "packet,entry,crop,variety,lot,packed_year,tested_seeds,tested_up,tested_on,treated,tested_c\n"
    "1,3,kale,Sedge Blue,K1,2025,,,,no,\n"
    "2,6,kale,Sedge Blue,K1,,30,21,2026-04-11,,21\n",
    "readings.csv": "reading,entry,day,what,place,low_c,high_c,issued_at,source\n"
    "1,6,2026-04-11,air,Slats,4.5,17,,\n"
    "2,6,2026-04-11,forecast,,-1,,2026-04-11T05:00:00Z,\n"
    "3,6,2026-04-10,air,Slats,,16,,ST1\n",
    "timings.csv": "crop,used,asked_on\ntomato,yes,2026-04-11\n",
    "targets.csv": "target,entry,crop,variety,lot,plants,purpose,first_day,last_day,stage,container,pot,place,seeds_per_cell,until,bed,replaces\n"
    "1,1,tomato,Ostrel,T1,60,set out,2026-05-18,2026-05-24,,72-cell tray,10 cm pot,Slats,1,2026-06-15,bed 4,\n"
    "2,5,kale,Sedge Blue,,24,class,2026-05-12,2026-05-12,first true leaf,72-cell tray,,,,,,\n"
    "3,6,kale,Sedge Blue,,30,class,2026-05-12,2026-05-12,first true leaf,72-cell tray,,,,,,2\n",
    "pins.csv": "pin,entry,target,day,place,without,reason\n"
    "1,5,1,2026-03-01,Mat,no,\n"
    '2,6,3,,,yes,"cool, but time enough"\n',
    "stock.csv": "stock,entry,day,what,container,crop,variety,lot,amount\n"
    "1,1,2026-03-01,mix,,,,,80.5\n"
    "2,1,2026-03-01,container,72-cell tray,,,,12\n"
    "3,1,2026-03-01,seed,,tomato,Ostrel,T1,300\n",
    "freezes.csv": "freeze,entry,station,at_c,source,half_on,tenth_on,years\n"
    "1,1,Low Weir,0,published dates,04-24,05-14,\n"
    "2,5,Low Weir,-2.2,daily record,,,1991:112 1992:-\n",
    "cautions.csv": "key,season,seen_on,who\nbleach,2026,2026-03-01,Wren\n",
    "promises.csv": "promise,entry,to_whom,crop,variety,plants,due_on,container,note,replaces\n"
    "1,5,plot 4,tomato,Ostrel,6,2026-05-16,10 cm pot,by noon,\n"
    "2,6,plot 4,tomato,,8,2026-05-16,,,1\n",
    "verdicts.csv": "verdict,entry,season,crop,container,word,lines\n"
    '1,6,2026,tomato,72-cell tray,change,"sow a week later, fewer"\n'
    "2,6,2026,kale,,keep,\n",
    "clashes.csv": "clash,entry,what,tray,ours,theirs,settled_in\n"
    "1,6,moved twice,2,11,6,\n"
    "2,6,same number,3,,,6\n",
}
"""Two trays, one of them potted up, an entry taken back and two corrections."""


def written(folder: Path, **changed: str) -> Path:
    """The small farm in a folder, some of its files changed."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in SMALL_FARM.items():
        (folder / name).write_bytes(changed.get(name.removesuffix(".csv"), text).encode())
    return folder


def brought_in(tmp_path: Path, **changed: str) -> Store:
    return files.import_folder(tmp_path / "farm.db", written(tmp_path / "in", **changed))


def texts(folder: Path) -> dict[str, bytes]:
    return {file.name: (folder / file.name).read_bytes() for file in FILES}


def kept(store: Store) -> list[tuple[int, int, str]]:
    with store.reading() as rows:
        return rows("SELECT tray_id, standing, facts FROM tray_now ORDER BY tray_id")
