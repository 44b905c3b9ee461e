/**
 * Invented names of 80 characters or more, of what a study may call its groups and measurements.
 */
export const longNames: Readonly<Record<string, string>> = {
  English:
    "Chordal-sparing replacement with a bioprosthesis, taken as it was intended before theatre",
  German: "Mitralklappenrekonstruktionsoperationsnachbeobachtungszeitraumvollständigkeitsübersicht",
  Russian:
    "Протезирование клапана с сохранением подклапанных структур левого желудочка сердца, план",
  Greek: "Αντικατάσταση της βαλβίδας με διατήρηση των τενόντιων χορδών, όπως είχε προγραμματιστεί",
  Arabic:
    "استبدال الصمام مع الحفاظ على الحبال الوترية كما كان مقررا قبل دخول المريض إلى غرفة العمليات",
  Hebrew:
    "החלפת המסתם תוך שימור מיתרי הגידים כפי שתוכנן לפני הכניסה לחדר הניתוח על פי תוכנית המחקר",
  Hindi: "कॉर्डे को बचाते हुए वाल्व का प्रतिस्थापन जैसा कि ऑपरेशन कक्ष में जाने से पहले तय किया गया था",
  Chinese:
    "保留腱索的二尖瓣置换术按照手术前的计划进行分组不论患者离开手术室时所接受的手术方式如何均按照术前意向进行统计分析并且与修复组进行比较同时报告可能的范围以及缺失数据的处理方法和所有敏感性分析结果",
  Japanese:
    "腱索を温存した僧帽弁置換術、手術前の計画に従って群を分けたもの、退室時の術式にかかわらず予定された術式に基づいて解析し形成術群と比較したもの、観察期間は二〇二四年まで",
};
